// Looking: themes, colours and their curves, places and engines, wishes, the frontier, cases, changes.
import { html, useState } from "../vendor/preact.js";
import { askedLines, caseAsked, limitName } from "./asked.js";
import { yaml } from "./changes-text.js";
import { byName, count, listed, money, noPoolWord, plain, problemWords, ranged, signed } from "./numbers.js";
import { Curve, Frontier, Share } from "./pictures.js";
import { writtenCap } from "./limits.js";
import { lossOf, reasonsWord, Why } from "./reasons.js";
import { moves, sum } from "./state.js";
import { bought, costOf, swapped, tallyColours, tallyThemes } from "./tally.js";
import { CardName, CardNames, Colours, hueOf, inColumns, More, Part, Table, ThemeNote, typed, useStore } from "./widgets.js";
import { ThemeWeight } from "./view-limits.js";

/** Is each theme deep enough? */
export function ThemesPart() {
  const store = useStore();
  const themes = tallyThemes(store.pool, store.cards, store.model);
  if (!themes.length) return null;
  const columns = [
    { title: "Theme", sort: (/** @type {any} */ row) => row.name, show: (/** @type {any} */ row) => html`${row.name}<${ThemeNote} name=${row.name} />` },
    ...["cards", "enablers", "payoffs", "gold", "shared", "strength"].map((key) => ({ title: key[0].toUpperCase() + key.slice(1), number: true, sort: (/** @type {any} */ row) => row[key], show: (/** @type {any} */ row) => plain(row[key]) })),
    { title: "Weight", show: (/** @type {any} */ row) => html`<${ThemeWeight} theme=${row} />` },
  ];
  return html`<${Part} id="themes" title="Themes" note=${`${themes.length}${themes.length > 1 && store.answer.weakest ? `; weakest: ${store.answer.weakest}` : ""}`}>
    <${Table} caption="Is each theme deep enough?" rows=${themes} columns=${columns} />
    ${(store.answer.watches?.text || []).map((/** @type {string} */ line) => html`<p>${line}</p>`)}
    <${Grid} themes=${themes} />
    ${themes.map((theme) => html`<${More} title=${`Cards of ${theme.name}: ${theme.cards}`}><${ThemeCards} theme=${theme} /></${More}>`)}
  </${Part}>`;
}

/** Theme by colour: where a theme's cards are. @param {{themes: any[]}} props */
function Grid({ themes }) {
  const store = useStore();
  const shown = [...store.model.colours, ""].filter((colour) => themes.some((theme) => theme.byColour[colour]));
  const most = Math.max(1, ...themes.flatMap((theme) => Object.values(theme.byColour)));
  return html`<${Table} caption="In which colours is each theme? (Gold and hybrid cards count in each of theirs.)" rows=${themes} columns=${inColumns([
    { title: "Theme", show: (row) => row.name },
    ...shown.map((colour) => ({ title: colour || "colourless", number: true, kind: "grid", sort: (/** @type {any} */ row) => row.byColour[colour] || 0, show: (/** @type {any} */ row) => html`<span class="heat" style=${{ "--share": String((row.byColour[colour] || 0) / most) }}>${row.byColour[colour] || "·"}</span>` })),
  ])} />`;
}

/** @param {{theme: any}} props */
function ThemeCards({ theme }) {
  const groups = /** @type {const} */ ([["payoff", "Payoffs"], ["both", "Enabler and payoff"], ["enabler", "Enablers"], ["", "Others"]]);
  return html`<dl class="groups">${groups.map(([role, title]) => {
    const cards = theme.members.filter((/** @type {any} */ card) => (card.tags.find((/** @type {any} */ tag) => tag.tag === theme.name)?.role || "") === role);
    return cards.length ? html`<div><dt>${title} (${cards.length})</dt><dd><${CardNames} cards=${cards.map((/** @type {any} */ card) => ({ name: card.name }))} most=${40} /></dd></div>` : null;
  })}</dl>`;
}

/** Is each colour's curve right? */
export function ColoursPart() {
  const store = useStore();
  const lines = tallyColours(store.pool, store.cards, store.model);
  const costs = lines.flatMap((line) => [...line.curve.keys()]);
  const highest = Math.max(1, ...costs);
  const most = Math.max(1, ...lines.flatMap((line) => [...line.curve.values()]));
  return html`<${Part} id="colours" title="Colours and curves" note=${`${lines.length} colours`}>
    <p class="quiet">Each colour's own cards by cost: how many at each. Early is up to 2, middle 3 and 4, late from 5 on.</p>
    <div class="curves">${lines.map((line) => html`<figure><figcaption><${Colours} colours=${line.colour} /> ${line.mono} cards</figcaption>
      <${Curve} title=${`${line.colour}: ${line.early} early, ${line.middle} in the middle, ${line.late} late`} curve=${line.curve} most=${most} highest=${highest} hue=${hueOf(store.model.colours, line.colour)} /></figure>`)}</div>
    <${Table} caption="The colours in numbers" rows=${lines} columns=${inColumns([
      { title: "Colour", show: (row) => html`<${Colours} colours=${row.colour} />` },
      ...[["Mono", "mono"], ["Early", "early"], ["Middle", "middle"], ["Late", "late"]].map(([title, key]) => ({ title, number: true, show: (/** @type {any} */ row) => row[key] })),
      { title: "Average cost", number: true, show: (row) => (row.mono - row.noCost ? (Math.floor((100 * row.costs) / (row.mono - row.noCost) + 0.5) / 100).toFixed(2) : "") },
      ...[["In gold", "gold"], ["In hybrid", "hybrid"], ["Fixing", "fixing"]].map(([title, key]) => ({ title, number: true, show: (/** @type {any} */ row) => row[key] })),
      { title: "Kinds", kind: "long", show: (row) => Object.entries(row.kinds).sort((a, b) => /** @type {number} */ (b[1]) - /** @type {number} */ (a[1])).map(([kind, number]) => `${kind} ${number}`).join(", ") },
    ])} />
    <${More} title="The curves as a table"><${Table} caption="Mono cards by cost" rows=${lines} columns=${inColumns([
      { title: "Colour", show: (row) => row.colour },
      ...Array.from({ length: highest + 1 }, (_, cost) => ({ title: String(cost), number: true, show: (/** @type {any} */ row) => row.curve.get(cost) || 0 })),
    ])} /></${More}>
    ${store.answer.decks && store.answer.decks.length ? html`<${More} title="What a deck of each pair can play"><${Table} caption="Cards of the pool that a deck can play" rows=${store.answer.decks} columns=${inColumns([
      { title: "Deck", show: (row) => html`<${Colours} colours=${row.colours} />` }, { title: "Cards", number: true, show: (row) => row.cards },
    ])} /></${More}>` : null}
  </${Part}>`;
}

/** What structure asks and adds. */
export function StructurePart() {
  const store = useStore();
  const { structure = [], places = [] } = store.answer;
  if (!structure.length && !places.length) return null;
  const colours = [...new Set(places.map((place) => place.colour))];
  const names = [...new Set(places.map((place) => place.place))].sort((a, b) => Number(a === "open") - Number(b === "open"));
  const number = (/** @type {string} */ colour, /** @type {string} */ name) => sum(places.filter((one) => one.colour === colour && one.place === name));
  const adds = structure.reduce((total, one) => total + (one.counts === false ? 0 : one.fit), 0);
  return html`<${Part} id="structure" title="Places and engines" note=${structure.length ? `adds ${plain(adds)} fit` : ""}>
    ${places.length ? html`<${Table} caption="Places: what each colour's own cards are there for" rows=${colours} columns=${inColumns([
      { title: "Colour", show: (row) => html`<${Colours} colours=${row} />` },
      ...names.map((name) => ({ title: name, number: true, show: (/** @type {any} */ row) => number(row, name) || "·" })),
    ])} />` : null}
    ${structure.length ? html`<${Table} caption="What adds fit beyond single cards" rows=${structure} columns=${inColumns([
      { title: "What", show: (row) => row.name },
      { title: "Has", show: (row) => structureHas(row) },
      { title: "Fit", number: true, show: (row) => (row.counts === false ? "not chosen" : plain(row.fit)) },
    ])} />` : null}
  </${Part}>`;
}

/** @param {any} row */
function structureHas(row) {
  if (row.kind === "engine") return `${count(row.enablers, "enabler")}, ${count(row.payoffs, "payoff")}`;
  if (row.kind === "depth") return `weight ${plain(row.weight)}`;
  if (row.kind === "stay") return `${row.in} stay`;
  if (row.kind === "evenness") return `weakest ${row.weakest}, ${plain(row.strength)}`;
  if (row.kind === "places") return `${row.filled} filled`;
  if (row.kind === "sets") return [count(row.sets, "whole set"), ...(row.parts || []).flatMap((/** @type {any} */ part, /** @type {number} */ k) => (part.alone ? [`part ${k + 1} hangs on ${part.alone} alone`] : []))].join("; ");
  return row.in === undefined ? "" : `${row.in} in`;
}

/** Wishes, and why not. */
export function WishesPart() {
  const store = useStore();
  const { wishes = [], wishes_out: reasons } = store.answer;
  if (!wishes.length) return null;
  const out = wishes.filter((wish) => !wish.in);
  return html`<${Part} id="wishes" title="Wishes" note=${`${wishes.length - out.length} of ${wishes.length} in`}>
    <p>In: <${CardNames} cards=${wishes.filter((wish) => wish.in).map((wish) => ({ name: wish.name }))} most=${40} /></p>
    ${out.length && !reasons ? html`<p class="quiet">Out: <${CardNames} cards=${out.map((wish) => ({ name: wish.name }))} most=${40} />. ${reasonsWord(store)[0].toUpperCase() + reasonsWord(store).slice(1)}.</p>` : null}
    ${[...(reasons || [])].sort((a, b) => lossOf(a) - lossOf(b)).map((card) => html`<div class="wish"><h3><${CardName} name=${card.name} /> <span class="quiet">${card.impossible ? "cannot be in" : card.loss ? (card.loss.at_least === undefined && card.loss.at_most === undefined ? "cost not settled" : `costs ${ranged(card.loss)} fit`) : ""}</span></h3><${Why} card=${card} /></div>`)}
  </${Part}>`;
}

/** How firmly cards stand. */
export function FirmPart() {
  const store = useStore();
  const firm = store.answer.firmness;
  if (!firm || !firm.cards || !firm.cards.length) return null;
  return html`<${Part} id="firm" title="How firmly cards stand" note=${firm.trials ? `when every power moves by a random point up or down, ${plain(Math.round((firm.stays || 0) * 1000) / 10)} % of the pool stays${firm.trials_proven ? "" : "; not all trials were proven best"}` : ""}>
    <${Table} caption="The cards on which the least fit hangs first" most=${30} rows=${[...firm.cards].sort((a, b) => lossOf(a) - lossOf(b))} columns=${inColumns([
      { title: "Card", show: (row) => html`<${CardName} name=${row.name} />` },
      { title: "Now", show: (row) => (row.in ? "in" : "out") },
      { title: "Stands", show: (row) => row.kind },
      { title: "Fit that hangs on it", number: true, show: (row) => ranged(row.loss) },
      { title: "Its score", show: (row) => (row.score_matters === "yes" ? "matters" : row.score_matters === "no" ? "" : "not known") },
    ])} /></${Part}>`;
}

/** Where does more money stop buying much? */
export function FrontierPart() {
  const store = useStore();
  const [found, find] = useFound();
  const caps = found?.caps || store.data.caps;
  const frontier = caps?.frontiers?.[0];
  if (!frontier && !(store.ready && store.priced)) return null;
  const { answer } = store;
  const cap = writtenCap(answer);
  const middle = Math.round(cap ?? answer.cost ?? 100);
  const step = Math.max(1, Math.round((cap ?? answer.cost ?? 100) / 6));
  const compute = () => find(store.beside({ ask: "caps", caps: `${Math.max(0, middle - 3 * step)}..${middle + 3 * step}/${step}` }),
    (told) => ({ caps: told, words: "of the state as tried" }));
  return html`<${Part} id="frontier" title="What more money buys" note=${frontier?.knee ? `knee at ${money(frontier.knee)}` : ""}>
    ${store.ready ? html`<p><button type="button" onClick=${compute}>Find it for the present state</button> <span class="quiet" role="status">${found ? found.words : store.data.caps ? "what is shown is of the scenario as it was opened" : ""}</span></p>` : null}
    ${caps ? html`<${FrontierShown} caps=${caps} here=${cap === undefined || answer.fit === undefined ? null : { cap, fit: answer.fit }} />` : null}</${Part}>`;
}

/** What was asked of the state that is shown, and what came of it; null once another is shown. @returns {[any, (asked: Promise<any>, tell: (answer: any) => any) => void]} */
function useFound() {
  const { shownStep } = useStore();
  const [found, setFound] = useState(/** @type {{of: any, words: string} | null} */ (null));
  const find = async (/** @type {Promise<any>} */ asked, /** @type {(answer: any) => any} */ tell) => {
    setFound({ of: shownStep, words: "being found ..." });
    const answer = await asked;
    setFound({ of: shownStep, ...(!answer ? { words: "Given up." } : answer.error ? { words: problemWords(answer.error) } : tell(answer)) });
  };
  return [found?.of === shownStep ? found : null, find];
}

/** A cap that is enough, and where the least is lower as far as it is proven, so. @param {import("./types.js").Range} range */
function capWords({ at_least: low, at_most: high }) {
  return low === high ? money(high) : `${money(high)} (proven: not below ${money(low)})`;
}

/** @param {any} frontier */
function enoughWords(frontier) {
  const { enough, fit_without_cap: fit, bound_without_cap: bound } = frontier;
  if (bound <= fit) return `From ${capWords(enough)} on more money buys nothing: fit ${plain(fit)}.`;
  return `From ${money(enough.at_most)} on more money buys at most ${plain(bound - fit)} fit (${plain(fit)} is reached, ${plain(bound)} is the most without any cap).`;
}

/** @param {{caps: any, here: {cap: number, fit: number} | null}} props */
function FrontierShown({ caps, here }) {
  const frontier = caps.frontiers[0];
  const points = caps.cases.filter((/** @type {any} */ one) => frontier.cases.includes(one.name) && one.fit !== undefined && one.cap !== null);
  if (!points.length) return html`<p>${caps.cases.every((/** @type {any} */ one) => one.status === "infeasible") ? "No pool is possible at these caps." : "No pool was found at these caps; there may be one."}</p>`;
  return html`<p>${frontier.knee ? `From a cap of ${money(frontier.knee)} on more money buys clearly less. ` : ""}${frontier.least_cap ? `The least cap with any pool at all: ${capWords(frontier.least_cap)}. ` : ""}${frontier.enough ? enoughWords(frontier) : ""}</p>
    <${Frontier} title=${`The most fit that each cap buys, from ${money(points[0].cap)} to ${money(points[points.length - 1].cap)}`} points=${points} knee=${frontier.knee ?? null} here=${here} />
    <${Table} caption="The most fit that each cap buys" rows=${points} columns=${inColumns([
      { title: "Cap", number: true, show: (row) => money(row.cap) },
      { title: "Fit", number: true, show: (row) => plain(row.fit) },
      { title: "At most", number: true, show: (row) => plain(row.bound) },
      { title: "To buy", number: true, show: (row) => money(row.cost) },
      { title: "In", number: true, show: (row) => sum(row.enters || []) },
      { title: "Out", number: true, show: (row) => sum(row.leaves || []) },
    ])} />`;
}

/** Cases side by side, also those kept here. */
export function CasesPart() {
  const store = useStore();
  const [found, find] = useState(/** @type {{of: any, cases?: any, words: string} | null} */ (null));
  const start = store.steps[0].answer;
  const cases = store.data.cases || (found?.of === store.data ? found.cases : null);
  const compute = async () => {
    const of = store.data;
    find({ of, words: "being solved ..." });
    const answer = await store.reasons.ask("cases", { ask: "what-if", cases: true });
    find({ of, cases: answer?.cases ? answer : null, words: !answer ? "Given up." : answer.error ? problemWords(answer.error) : "" });
  };
  const unsolved = !cases && (store.model.cases || []).length;
  const told = (cases?.cases || []).map((/** @type {any} */ one) => ({ ...one, asked: (store.model.cases || []).some((other) => other.name === one.name) ? caseAsked(one.name) : null }));
  const kept = store.kept.map((/** @type {any} */ one) => {
    const between = one.answer?.pool && start?.pool ? moves(start, one.answer) : {};
    return { ...(one.answer || {}), enters: undefined, leaves: undefined, ...between, nearest: undefined, name: one.name, asked: one.asked, kept: true };
  });
  const rows = [...told, ...kept];
  if (!rows.length && !unsolved) return null;
  return html`<${Part} id="cases" title="Cases side by side" note=${count(unsolved ? unsolved + kept.length : rows.length - (told.length ? 1 : 0), "case")}>
    ${unsolved ? html`<p><button type="button" disabled=${!store.ready} onClick=${compute}>Solve the scenario's cases</button> <span class="quiet" role="status">${found?.of === store.data ? found.words : listed((store.model.cases || []).map((one) => one.name))}</span></p>` : null}
    ${rows.length ? html`<p class="quiet">At most: proven ceiling; best: the two meet.</p><${Table} caption="What if?" rows=${rows} columns=${inColumns([
      { title: "Case", show: (row) => row.name },
      { title: "Fit", number: true, show: (row) => (row.fit === undefined ? noPoolWord(row) : plain(row.fit)) },
      { title: "At most", number: true, show: (row) => (row.fit === undefined ? "" : row.status === "best" ? "best" : plain(row.bound)) },
      { title: "Per card", number: true, show: (row) => (row.fit === undefined ? "" : (row.fit / row.size).toFixed(3)) },
      { title: "Cards", number: true, show: (row) => row.size },
      { title: "To buy", number: true, show: (row) => (row.cost === undefined ? "" : money(row.cost)) },
      { title: "In", number: true, show: (row) => copiesMoved(row, "enters") },
      { title: "Out", number: true, show: (row) => copiesMoved(row, "leaves") },
      { title: "Weakest theme", show: (row) => row.weakest || "" },
      { title: "Asks", kind: "long", show: (row) => caseWords(row, store.model) },
      { title: "Newly tight", kind: "long", show: (row) => (row.newly_tight || []).slice(0, 3).map((/** @type {any} */ one) => limitName(one.name, one.of)).join(", ") },
      { title: "Try", kind: "press", show: (row) => (row.asked ? html`<button type="button" class="small" disabled=${!store.ready} aria-label=${`go there: the case ${row.name}`} onClick=${() => store.attempt(`case ${row.name}`, row.asked)}>go there</button>` : "") },
    ])} />` : null}
    ${rows.filter((row) => ["enters", "leaves"].some((key) => ((row.nearest || row)[key] || []).length)).map((row) => html`<${More} title=${`${row.name}: cards in and out`}><p>In: <${CardNames} cards=${(row.nearest || row).enters} most=${60} /></p><p>Out: <${CardNames} cards=${(row.nearest || row).leaves} most=${60} /></p></${More}>`)}
  </${Part}>`;
}

/** Copies in or out; nothing against a base without a pool. @param {any} row @param {"enters" | "leaves"} key */
function copiesMoved(row, key) {
  const cards = (row.nearest || row)[key];
  return row.fit === undefined || !cards ? "" : sum(cards);
}

/** What a case asks, shortly: of the scenario's own as it is written there. @param {any} row @param {import("./types.js").Model} model */
function caseWords(row, model) {
  const written = row.kept ? undefined : (model.cases || []).find((one) => one.name === row.name);
  if (!written) return row.asked ? askedLines(row.asked).join("; ") : "";
  const words = [...Object.entries(written.change || {}), ...(written.cards ? [["cards", written.cards]] : []), ...(written.files ? [["files", written.files]] : [])].map(([key, value]) => `${key.replaceAll("_", " ")}: ${yaml(value).replaceAll('"', "")}`).join("; ");
  return words.length > 160 ? `${words.slice(0, 157)}...` : words;
}

/** Changes against the present pool, swap by swap. */
export function ChangesPart() {
  const store = useStore();
  const enters = store.answer.enters || [];
  const leaves = store.answer.leaves || [];
  if (!enters.length && !leaves.length) return null;
  return html`<${Part} id="changes" title="Changes against the present pool" note=${`${sum(enters)} in, ${sum(leaves)} out`}>
    <p class="quiet">Each card that enters beside the one most like it that leaves; fits are of the single cards.</p>
    <${SwapTable} caption="Swap by swap" enters=${enters} leaves=${leaves} />
    ${store.ready ? html`<${FewSwaps} />` : null}</${Part}>`;
}

/** Copies that enter, each beside one that leaves, and what is paid for it where it must be bought. @param {import("./store.js").Store} store @param {import("./types.js").Copies[]} enters @param {import("./types.js").Copies[]} leaves */
function pairedCopies(store, enters, leaves) {
  /** @type {Map<string, number>} */
  const entered = new Map(enters.map(({ name, copies }) => [name, copies]));
  return swapped(enters, leaves, store.cards).map(({ enter, leave }, at) => {
    const [a, b] = [enter, leave].map((name) => (name && store.cards.get(name)) || null);
    const copies = enter ? entered.get(enter) || 0 : 0; // of it that are not told yet
    if (enter) entered.set(enter, copies - 1);
    const pays = a && a.price !== null && copies <= bought(a, (a.present || 0) + (enters.find((one) => one.name === enter)?.copies || 0));
    return { at, enter, leave, a, b, pays: pays ? costOf(a, 1, store.model) : null };
  });
}

/** @param {{caption: string, enters: import("./types.js").Copies[], leaves: import("./types.js").Copies[]}} props */
function SwapTable({ caption, enters, leaves }) {
  const store = useStore();
  const swaps = pairedCopies(store, enters, leaves);
  const gain = (/** @type {any} */ row) => (row.a?.fit ?? 0) - (row.b?.fit ?? 0);
  return html`<${Table} caption=${caption} most=${40} rows=${swaps} keyOf=${(/** @type {any} */ row) => `${row.enter} ${row.leave} ${row.at}`} columns=${inColumns([
    { title: "In", sort: (row) => row.enter, show: (row) => (row.enter ? html`<${CardName} name=${row.enter} />` : "") },
    { title: "Out", sort: (row) => row.leave, show: (row) => (row.leave ? html`<${CardName} name=${row.leave} />` : "") },
    { title: "Fit", number: true, sort: gain, show: (row) => signed(gain(row)) },
    { title: "To pay", number: true, sort: (row) => row.pays, show: (row) => (row.pays === null ? "" : money(row.pays)) },
    { title: "Colours", show: (row) => (row.a ? html`<${Colours} colours=${row.a.colours} />` : "") },
    { title: "For", show: (row) => (row.a ? row.a.tags.map((/** @type {any} */ tag) => tag.tag).join(", ") : "") },
  ])} />`;
}

/** The best pool within few swaps of the present one. */
function FewSwaps() {
  const store = useStore();
  const [swaps, setSwaps] = useState("10");
  const [found, find] = useFound();
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    find(store.beside({ ask: "revise", swaps: Number(swaps) }), (told) => fewSwaps(told, Number(swaps)));
  };
  return html`<form class="row" onSubmit=${submit}><label>The best with at most <input type="number" class="short" min="0" max="100000" required value=${swaps} onInput=${typed(setSwaps)} /> swaps</label><button type="submit">Find it</button> <span role="status">${found?.words}</span></form>
    ${found?.point ? html`<${SwapTable} caption="These swaps" enters=${found.point.enters} leaves=${found.point.leaves} />` : null}`;
}

/** What few swaps bring: the pool, where there is one, and words for it. @param {any} told an answer of `revise` @param {number} swaps */
function fewSwaps(told, swaps) {
  const point = (told.points || [])[0];
  if (point?.fit !== undefined) return { point, words: `Fit ${plain(point.fit)}, ${point.status === "best" ? "the best there is (proven)" : `at most ${plain(point.bound - point.fit)} less than the best`}; ${money(point.cost)} to buy, with ${sum(point.leaves)} out and ${sum(point.enters)} in.` };
  if (point?.status !== "infeasible") return { words: "No pool was found before the search ended; there may be one." };
  return { words: told.least_swaps > swaps ? `So few swaps break a limit; it takes ${told.least_swaps_exact ? "" : "at least "}${told.least_swaps}.` : "No pool within so few swaps meets all limits." };
}

/** What must be bought, dearest first, as in the sheet. */
export function ShoppingPart() {
  const store = useStore();
  const rows = shoppingRows(store);
  const most = Math.max(...rows.map((row) => row.sum));
  const total = rows.reduce((all, row) => all + row.sum, 0);
  let run = 0;
  const half = new Set(rows.filter((row) => (run += row.sum) - row.sum < total / 2).map((row) => row.card.name));
  const { priced } = store;
  return html`<${Part} id="shopping" title="Shopping list" note=${`${count(rows.length, "card")}${priced ? `, ${money(total)}` : ""}`}>
    <p>${!rows.length ? "Nothing is to be bought." : priced ? `${count(half.size, "card")} take${half.size === 1 ? "s" : ""} half of the money.${store.model.handling ? ` Sums hold ${money(store.model.handling)} of handling for each copy.` : ""}` : "No card has a price: what is not owned, by name."}</p>
    ${rows.length ? html`<${Table} caption=${priced ? "To buy, dearest first" : "To buy"} most=${40} rows=${rows} mark=${(/** @type {any} */ row) => (half.has(row.card.name) ? "dear" : "")} columns=${inColumns([
      { title: "Card", sort: (row) => row.card.name, show: (row) => html`<${CardName} name=${row.card.name} />` },
      { title: "Copies", number: true, show: (row) => row.copies },
      ...(priced ? inColumns([
        { title: "Each", number: true, sort: (row) => row.card.price, show: (row) => money(row.card.price) },
        { title: "Sum", number: true, sort: (row) => row.sum, show: (row) => money(row.sum) },
        { title: "Beside the most", kind: "roomy", show: (row) => html`<${Share} share=${row.sum / most} />` },
      ]) : []),
      { title: "Colours", show: (row) => html`<${Colours} colours=${row.card.colours} />` },
    ])} />` : null}</${Part}>`;
}

/** @param {import("./store.js").Store} store */
function shoppingRows(store) {
  const rows = [];
  for (const [name, copies] of store.pool) {
    const card = store.cards.get(name);
    const buy = card ? bought(card, copies) : 0;
    if (card && buy) rows.push({ card, copies: buy, sum: costOf(card, buy, store.model) });
  }
  return rows.sort((a, b) => (b.card.price ?? 0) - (a.card.price ?? 0) || byName(a.card.name, b.card.name));
}
