// Beside other pools: the frontier, cases, changes against the present pool.
import { html, useState } from "../vendor/preact.js";
import { askedLines, caseAsked, limitName } from "./asked.js";
import { yaml } from "./changes-text.js";
import { writtenCap } from "./limits.js";
import { count, listed, money, noPoolWord, plain, problemWords, signed } from "./numbers.js";
import { Frontier } from "./pictures.js";
import { moves, sum } from "./state.js";
import { bought, costOf, swapped } from "./tally.js";
import { CardName, CardNames, Colours, inColumns, More, Part, Table, typed, useStore } from "./widgets.js";

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
