// Sheets as text: read, written, and with other values in them, in the style of the scenario's others.
import { folded, own } from "./numbers.js";

/** @typedef {import("./types.js").SheetStyle} SheetStyle */

/** How sheets are written where nothing is known of others. @type {SheetStyle} */
const USUAL = { separator: ",", decimal_commas: false, marked: false, headers: {} };

/** Whether a spreadsheet program would run it: it is written behind an apostrophe, which is taken off again when it is read. @param {string} text */
function runsAsFormula(text) {
  return /^[=@\t\r]/.test(text) || (/^[-+]/.test(text) && !/^[-+][\d.,]+$/.test(text));
}

/** A cell as it was before it was guarded. @param {string} text */
export function unguarded(text) {
  return text[0] === "'" && runsAsFormula(text.slice(1)) ? text.slice(1) : text;
}

/** Cells as lines, as they are. @param {(string | number | null | undefined)[][]} lines @param {string} separator */
function written(lines, separator) {
  const cell = (/** @type {string | number | null | undefined} */ value) => {
    const text = value === null || value === undefined ? "" : String(value);
    return text.includes(separator) || /["\r\n]/.test(text) || text !== text.trim() ? `"${text.replaceAll('"', '""')}"` : text;
  };
  return lines.map((line) => line.map(cell).join(separator)).join("\n") + "\n";
}

/** A sheet, RFC 4180, as the scenario's others are: numbers with their decimal mark, no cell that runs. @param {string[]} header @param {(string | number | null | undefined)[][]} lines @param {SheetStyle} [style] */
export function sheet(header, lines, style = USUAL) {
  const cell = (/** @type {string | number | null | undefined} */ value) => {
    if (typeof value === "number") return decimals(String(value), style.decimal_commas);
    return typeof value === "string" && runsAsFormula(value) ? `'${value}` : value;
  };
  return (style.marked ? "\uFEFF" : "") + written([header.map((name) => own(style.headers, name) ?? name), ...lines.map((line) => line.map(cell))], style.separator);
}

/** A number with the decimal mark of a sheet. @param {string} number @param {boolean} commas */
export function decimals(number, commas) {
  return commas ? number.replace(".", ",") : number;
}

/** @param {string} text */
export function separatorOf(text) {
  const first = text.split(/\r?\n/, 1)[0];
  return [",", ";", "\t"].reduce((best, one) => (first.split(one).length > first.split(best).length ? one : best));
}

/** The rows of a sheet; the separator is the one that its first line has most of. @param {string} text @returns {string[][]} */
export function readSheet(text) {
  const clean = text.replace(/^\uFEFF/, "");
  const separator = separatorOf(clean);
  /** @type {string[][]} */
  const rows = [];
  let row = [""];
  let quoted = false;
  for (let at = 0; at < clean.length; at++) {
    const sign = clean[at];
    if (quoted) {
      if (sign === '"' && clean[at + 1] === '"') row[row.length - 1] += clean[++at];
      else if (sign === '"') quoted = false;
      else row[row.length - 1] += sign;
    } else if (sign === '"' && row[row.length - 1] === "") quoted = true;
    else if (sign === separator) row.push("");
    else if (sign === "\n" || sign === "\r") {
      if (sign === "\r" && clean[at + 1] === "\n") at++;
      rows.push(row);
      row = [""];
    } else row[row.length - 1] += sign;
  }
  if (row.length > 1 || row[0]) rows.push(row);
  return rows.filter((cells) => cells.some((text) => text.trim()));
}

/** The number in a cell, whatever sign stands beside it; NaN where there is none. @param {string | undefined} cell */
function cellNumber(cell) {
  return Number.parseFloat(((cell || "").match(/-?\d+([.,]\d+)?/)?.[0] ?? "").replace(",", "."));
}

/** By how much a price may fall and rise stays as it is. @param {string[]} row @param {number[]} columns @param {number} by @param {boolean} commas */
function moveRange(row, columns, by, commas) {
  for (const column of columns) {
    const moved = Math.max(0, cellNumber(row[column]) + by);
    if (Number.isFinite(moved)) row[column] = decimals(moved.toFixed(2), commas);
  }
}

/**
 * A sheet with other values in it, its columns, lines and separator as they are; null where nothing in it changes.
 * @param {string} text @param {Record<string, import("./types.js").Values>} values @param {Record<string, string>} [headers] what the model calls name, price and power
 */
export function changedSheet(text, values, headers = {}) {
  const [header, ...rows] = readSheet(text);
  const names = header ? header.map(folded) : [];
  const columnOf = (/** @type {string} */ field) => names.indexOf(folded(own(headers, field) ?? field));
  const separator = separatorOf(text.replace(/^\uFEFF/, ""));
  const at = columnOf("name");
  const wanted = new Map(Object.entries(values).map(([name, value]) => [folded(name), /** @type {Record<string, number>} */ (value)]));
  let changed = false;
  for (const row of at < 0 ? [] : rows) {
    const value = wanted.get(folded(unguarded(row[at] || "")));
    for (const [field, number] of Object.entries(value || {})) {
      const column = columnOf(field);
      if (column < 0 || Number((row[column] || "").replace(",", ".")) === number) continue;
      const commas = separator !== "," && rows.some((other) => /^-?\d+,\d+$/.test(other[column]));
      if (field === "price") moveRange(row, [columnOf("low"), columnOf("high")], number - cellNumber(row[column]), commas);
      row[column] = decimals(field === "price" ? number.toFixed(2) : String(number), commas);
      changed = true;
    }
  }
  return changed ? (text.startsWith("\uFEFF") ? "\uFEFF" : "") + written([header, ...rows], separator) : null;
}

/** The columns of a journal, as `revise --apply` writes them. */
const JOURNAL = ["date", "change", "card", "copies", "price", "reason"];

/**
 * A journal (null: there is none yet) with more lines behind it; its columns, separator and mark stay.
 * @param {string | null} text @param {Record<string, string | number>[]} lines by the names of its columns @param {SheetStyle} [style] of a new one
 */
export function journalSheet(text, lines, style = USUAL) {
  if (!text) return sheet(JOURNAL, lines.map((line) => JOURNAL.map((column) => line[column])), style);
  const [columns, ...rows] = readSheet(text);
  for (const name of JOURNAL) if (!columns.some((column) => folded(column) === name)) columns.push(name);
  const separator = separatorOf(text.replace(/^\uFEFF/, ""));
  const added = lines.map((line) => columns.map((column) => {
    const value = own(line, folded(column)) ?? "";
    return typeof value === "string" && runsAsFormula(value) ? `'${value}` : value;
  }));
  return (text.startsWith("\uFEFF") ? "\uFEFF" : "") + written([columns, ...rows.map((row) => columns.map((_, at) => row[at] ?? "")), ...added], separator);
}
