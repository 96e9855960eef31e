// The whole list with texts, sorted and filtered.
import { html, useMemo, useState } from "../vendor/preact.js";
import { byName, folded, money, plain } from "./numbers.js";
import { coloursOf } from "./tally.js";
import { CardName, Colours, inColumns, Part, Table, typed, useStore } from "./widgets.js";

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
