// Lists of cards: what is to be bought; all candidates with their texts, sorted and filtered.
import { html, useMemo, useState } from "../vendor/preact.js";
import { byName, count, folded, money, plain } from "./numbers.js";
import { Share } from "./pictures.js";
import { bought, coloursOf, costOf } from "./tally.js";
import { CardName, Colours, inColumns, Part, Table, typed, useStore } from "./widgets.js";

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

/** Every candidate, in or out. */
export function ListPart() {
  const store = useStore();
  return html`<${Part} id="list" title="The whole list" note=${`${store.cards.size} candidates`}><${List} /></${Part}>`;
}

function List() {
  const store = useStore();
  const [wanted, want] = useState("");
  const [side, setSide] = useState("in");
  const [colour, setColour] = useState("");
  const [tag, setTag] = useState("");
  const [kind, setKind] = useState("");
  const pool = store.pool;
  const cards = useMemo(() => [...store.cards.values()].sort((a, b) => byName(a.name, b.name)), [store.cards]);
  const kinds = useMemo(() => [...new Set(cards.flatMap((card) => card.kind))].sort(), [cards]);
  const tags = useMemo(() => [...new Set(cards.flatMap((card) => card.tags.map((one) => one.tag)))].sort(), [cards]);
  const word = folded(wanted);
  const shown = cards.filter((card) => (side === "all" || pool.has(card.name) === (side === "in"))
    && (!colour || (colour === "colourless" ? coloursOf(card.colours).length === 0 : coloursOf(card.colours).includes(colour)))
    && (!tag || card.tags.some((one) => one.tag === tag)) && (!kind || card.kind.includes(kind))
    && (!word || folded(`${card.name} ${card.text || ""}`).includes(word)));
  const choice = (/** @type {string} */ label, /** @type {string} */ value, /** @type {(value: string) => void} */ set, /** @type {string[][]} */ options) => html`<label>${label} <select value=${value} onChange=${typed(set)}>${options.map(([key, text]) => html`<option value=${key}>${text}</option>`)}</select></label>`;
  return html`<p class="row">
      <label>Name or text <input type="search" value=${wanted} onInput=${typed(want)} /></label>
      ${choice("Show", side, setSide, [["in", "what is in"], ["out", "what is out"], ["all", "all"]])}
      ${choice("Colour", colour, setColour, [["", "any"], ...store.model.colours.map((one) => [one, one]), ["colourless", "colourless"]])}
      ${choice("Tag", tag, setTag, [["", "any"], ...tags.map((one) => [one, one])])}
      ${choice("Kind", kind, setKind, [["", "any"], ...kinds.map((one) => [one, one])])}</p>
    <p role="status">${shown.length} of ${cards.length} candidates</p>
    <${Table} caption="Candidates" hideCaption most=${60} rows=${shown} mark=${(/** @type {any} */ card) => (pool.has(card.name) ? "" : "outside")} columns=${inColumns([
      { title: "Card", sort: (card) => card.name, show: (card) => html`<${CardName} name=${card.name} />` },
      { title: "In", sort: (card) => pool.get(card.name) || 0, show: (card) => pool.get(card.name) || "" },
      { title: "Colours", sort: (card) => card.colours, show: (card) => html`<${Colours} colours=${card.colours} />` },
      { title: "Class", sort: (card) => card.class, show: (card) => card.class },
      { title: "Kind", sort: (card) => card.kind.join(", "), show: (card) => card.kind.join(", ") },
      { title: "Cost", number: true, sort: (card) => card.cost, show: (card) => plain(card.cost) },
      { title: "Power", number: true, sort: (card) => card.power, show: (card) => plain(card.power) },
      { title: "Price", number: true, sort: (card) => card.price, show: (card) => (card.price === null ? "" : money(card.price)) },
      { title: "Fit", number: true, sort: (card) => card.fit, show: (card) => plain(card.fit) },
      { title: "Tags", show: (card) => card.tags.map((/** @type {any} */ one) => [one.tag, one.role].filter(Boolean).join(" ")).join("; ") },
      { title: "Text", kind: "text", show: (card) => card.text || "" },
    ])} />`;
}
