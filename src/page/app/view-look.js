// Looking at the pool: themes, colours and their curves, places and engines, wishes, how firmly cards stand.
import { html } from "../vendor/preact.js";
import { count, plain, ranged } from "./numbers.js";
import { Curve } from "./pictures.js";
import { lossOf, reasonsWord, Why } from "./reasons.js";
import { sum } from "./state.js";
import { tallyColours, tallyThemes } from "./tally.js";
import { ThemeWeight } from "./view-limits.js";
import { CardName, CardNames, Colours, hueOf, inColumns, More, Part, Table, ThemeNote, useStore } from "./widgets.js";

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
  return html`<${Part} id="firm" title="How firmly cards stand" note=${firm.trials ? `when every power moves by a random point up or down, ${plain(Math.round((firm.stays || 0) * 1000) / 10)}% of the pool stays${firm.trials_proven ? "" : "; not all trials were proven best"}` : ""}>
    <${Table} caption="The cards on which the least fit hangs first" most=${30} rows=${[...firm.cards].sort((a, b) => lossOf(a) - lossOf(b))} columns=${inColumns([
      { title: "Card", show: (row) => html`<${CardName} name=${row.name} />` },
      { title: "Now", show: (row) => (row.in ? "in" : "out") },
      { title: "Stands", show: (row) => row.kind },
      { title: "Fit that hangs on it", number: true, show: (row) => ranged(row.loss) },
      { title: "Its score", show: (row) => (row.score_matters === "yes" ? "matters" : row.score_matters === "no" ? "" : "not known") },
    ])} /></${Part}>`;
}
