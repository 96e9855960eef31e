// Small pieces that all views share: sections, tables, names of cards that can be looked at.
import { createContext, html, useContext, useErrorBoundary, useLayoutEffect, useRef, useState } from "../vendor/preact.js";
import { byName, count } from "./numbers.js";

const StoreContext = createContext(/** @type {any} */ (null));
export const StoreProvider = StoreContext.Provider;

/** @returns {import("./store.js").Store} */
export function useStore() {
  return useContext(StoreContext);
}

/** Parts that are on paper only where they stand open. */
const UNPRINTED = ["list", "home", "words"];

/** A part of the page that opens by a click. @param {{id: string, title: string, note?: string, open?: boolean, children?: any}} props */
export function Part({ id, title, note, open, children }) {
  const { printing } = useStore();
  const [opened, show] = useState(!!open);
  const shown = opened || (printing && !UNPRINTED.includes(id));
  return html`<details class="part" id=${id} open=${shown} onToggle=${(/** @type {any} */ event) => printing || show(event.currentTarget.open)}>
    <summary><h2>${title}</h2>${note ? html` <span class="note">${note}</span>` : null}</summary>
    ${shown ? html`<div class="inside"><${Guard}>${children}</${Guard}></div>` : null}
  </details>`;
}

/** The name of a part; pressed, it stands open. @param {{id: string, title: string}} props */
export function PartName({ id, title }) {
  const open = () => {
    const part = document.getElementById(id);
    if (!(part instanceof HTMLDetailsElement)) return;
    part.open = true;
    part.scrollIntoView();
    part.querySelector("summary")?.focus({ preventScroll: true });
  };
  return html`<button type="button" class="card-name" onClick=${open}>${title}</button>`;
}

/** What cannot be drawn says so, and the rest of the page stays. @param {{children?: any}} props */
export function Guard({ children }) {
  const [problem, again] = useErrorBoundary();
  if (!problem) return children;
  return html`<p class="problem">This part could not be drawn: ${problem instanceof Error ? problem.message : String(problem)}. <button type="button" onClick=${again}>Try again</button></p>`;
}

/** Something shorter behind a line. @param {{title: string, children?: any}} props */
export function More({ title, children }) {
  const [shown, show] = useState(false);
  return html`<details class="more" open=${shown} onToggle=${(/** @type {any} */ event) => show(event.currentTarget.open)}>
    <summary>${title}</summary>${shown ? children : null}
  </details>`;
}

/**
 * @typedef {object} Column
 * @property {string} title
 * @property {(row: any) => any} show
 * @property {(row: any) => number | string | null | undefined} [sort]
 * @property {boolean} [number]
 * @property {string} [kind] a class for the cells
 */

/**
 * A table; the first column names the row. Where columns have `sort`, their headers are buttons.
 * @param {{caption: string, columns: Column[], rows: any[], hideCaption?: boolean, most?: number, mark?: (row: any) => string, keyOf?: (row: any) => string, below?: (row: any) => any}} props keyOf: what stays the same row when rows come and go; below: what stands under a row, over its whole width
 */
export function Table({ caption, columns, rows, hideCaption, most, mark, keyOf = keyOfRow, below }) {
  const [order, setOrder] = useState(/** @type {{at: number, down: boolean} | null} */ (null));
  const [all, showAll] = useState(false);
  const sorted = order ? sortedRows(rows, columns[order.at], order.down) : rows;
  const { printing } = useStore();
  const shown = most && !all && !printing ? sorted.slice(0, most) : sorted;
  const frame = useRef(/** @type {HTMLElement | null} */ (null));
  const [wide, setWide] = useState(false);
  useLayoutEffect(() => {
    if (frame.current) setWide(frame.current.scrollWidth > frame.current.clientWidth + 1);
  });
  return html`<div class="wide" ref=${frame} tabindex=${wide ? 0 : undefined} role=${wide ? "region" : undefined} aria-label=${wide ? caption : undefined}><table>
      <caption class=${hideCaption ? "unseen" : ""}>${caption}</caption>
      <thead><tr>${columns.map((column, at) => html`<${Header} column=${column} order=${order && order.at === at ? order : null} onSort=${() => setOrder({ at, down: order && order.at === at ? !order.down : !!column.number })} />`)}</tr></thead>
      <tbody>${shown.flatMap((row) => [html`<tr key=${keyOf(row)} class=${mark ? mark(row) : ""}>${columns.map((column, at) =>
        at === 0
          ? html`<th scope="row" class=${column.kind || ""}>${column.show(row)}</th>`
          : html`<td class=${`${column.number ? "number" : ""} ${column.kind || ""}`}>${column.show(row)}</td>`)}</tr>`, below && below(row) ? html`<tr key=${`${keyOf(row)} below`}><td colspan=${columns.length}><div class="below">${below(row)}</div></td></tr>` : null])}</tbody>
    </table></div>
    ${shown.length < sorted.length ? html`<button type="button" onClick=${() => showAll(true)}>Show all ${sorted.length}</button>` : null}`;
}

/** Columns, so that their rows need no types. @param {Column[]} columns */
export function inColumns(columns) {
  return columns;
}

/**
 * A number that is moved: handed on when the field is left or Enter pressed. Whatever is drawn meanwhile leaves what is being typed alone.
 * @param {{value: string | number, set: (value: string) => void} & Record<string, any>} props the others are the field's own
 */
export function NumberField({ value, set, ...others }) {
  const [text, type] = useState(/** @type {string | null} */ (null));
  return html`<input type="number" ...${others} value=${text ?? value} onInput=${typed(type)} onBlur=${() => type(null)} onChange=${(/** @type {any} */ event) => {
    const written = event.currentTarget.value;
    type(null);
    set(written);
  }} />`;
}

/** What a field holds, handed on when it changes. @param {(value: string) => void} set */
export function typed(set) {
  return (/** @type {{currentTarget: HTMLInputElement}} */ event) => set(event.currentTarget.value);
}

/** @param {any} row */
function keyOfRow(row) {
  return row.name ?? row.card?.name ?? row.section ?? row.colour ?? row.cap;
}

/** @param {{column: Column, order: {down: boolean} | null, onSort: () => void}} props */
function Header({ column, order, onSort }) {
  const sort = order ? (order.down ? "descending" : "ascending") : undefined;
  return html`<th scope="col" class=${`${column.number ? "number" : ""} ${column.kind || ""}`} aria-sort=${sort}>
    ${column.sort ? html`<button type="button" class="sort" onClick=${onSort}>${column.title}<span aria-hidden="true">${order ? (order.down ? " ↓" : " ↑") : ""}</span></button>` : column.title}
  </th>`;
}

/** Blank values last. @param {any[]} rows @param {Column} column @param {boolean} down */
function sortedRows(rows, column, down) {
  const value = column.sort || (() => 0);
  return [...rows].sort((a, b) => {
    const [x, y] = [value(a), value(b)];
    if (x === y) return 0;
    if (x === null || x === undefined || x === "") return 1;
    if (y === null || y === undefined || y === "") return -1;
    const order = typeof x === "number" && typeof y === "number" ? x - y : byName(String(x), String(y));
    return down ? -order : order;
  });
}

/** What stands beside a theme in a table of themes: "weakest", "not chosen", "". @param {import("./types.js").Answer} answer @param {string} name */
export function themeNote(answer, name) {
  const themes = answer.themes || [];
  if (themes.some((theme) => theme.name === name && theme.counts === false)) return "not chosen";
  return themes.length > 1 && answer.weakest === name ? "weakest" : "";
}

/** What a theme is among others. @param {{name: string}} props */
export function ThemeNote({ name }) {
  const note = themeNote(useStore().answer, name);
  return note ? html` <em>${note}</em>` : null;
}

/** A card's name; pressed, the card is shown beside. @param {{name: string}} props */
export function CardName({ name }) {
  const store = useStore();
  return html`<button type="button" class="card-name" onClick=${() => store.look(name)}>${name}</button>`;
}

/** Names in a row, the rest behind a click. @param {{cards: {name: string, copies?: number}[], most?: number}} props */
export function CardNames({ cards, most = 6 }) {
  const [all, showAll] = useState(false);
  const shown = all ? cards : cards.slice(0, most);
  if (!cards.length) return html`<span class="quiet">none</span>`;
  return html`<span>${shown.map((card, at) => html`${at ? ", " : ""}<${CardName} name=${card.name} />${(card.copies || 1) > 1 ? ` ×${card.copies}` : ""}`)}
    ${cards.length > shown.length ? html` <button type="button" class="small" onClick=${() => showAll(true)}>and ${count(cards.length - shown.length, "more", "more")}</button>` : null}</span>`;
}

/** The colours of a card or theme: a spot and a name each, so that no meaning hangs on colour alone. @param {{colours: string}} props */
export function Colours({ colours }) {
  const store = useStore();
  if (!colours || colours === "colourless" || colours === "all colours") return html`<span class="quiet">${colours || "colourless"}</span>`;
  const words = colours.split(/([+/])/);
  return html`<span class="colours">${words.map((word) => (word === "+" || word === "/" ? html`<span class="joint">${word}</span>` : html`<span class="colour"><span class="spot" style=${hueOf(store.model.colours, word)} aria-hidden="true"></span>${word}</span>`))}</span>`;
}

/** The hue that stands for a colour: spread evenly, whatever the colours are called. @param {string[]} all @param {string} colour */
export function hueOf(all, colour) {
  const at = Math.max(0, all.indexOf(colour));
  return { "--hue": String(Math.round((20 + (at * 360) / Math.max(1, all.length)) % 360)) };
}
