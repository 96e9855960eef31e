// What is taken home: sheets as text, changes as YAML, files handed to the browser.
import { caseCardsOf, changeOf } from "./asked.js";
import { folded } from "./numbers.js";

/** @typedef {import("./types.js").Asked} Asked */

/** A sheet, RFC 4180. @param {string[]} header @param {(string | number | null | undefined)[][]} lines @param {string} [separator] */
export function sheet(header, lines, separator = ",") {
  const cell = (/** @type {string | number | null | undefined} */ value) => {
    const text = value === null || value === undefined ? "" : String(value);
    return /["\r\n;,\t]/.test(text) || text !== text.trim() ? `"${text.replaceAll('"', '""')}"` : text;
  };
  return [header, ...lines].map((line) => line.map(cell).join(separator)).join("\n") + "\n";
}

/** @param {string} text */
function separatorOf(text) {
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

/** A value as YAML on one line. @param {any} value @returns {string} */
export function yaml(value) {
  if (Array.isArray(value)) return `[${value.map(yaml).join(", ")}]`;
  if (value && typeof value === "object") {
    return `{${Object.entries(value).map(([key, one]) => `${yamlText(key)}: ${yaml(one)}`).join(", ")}}`;
  }
  return typeof value === "string" ? yamlText(value) : String(value);
}

/** Plain where that is safe, else in double quotes. @param {string} text */
function yamlText(text) {
  return /^[\p{L}][\p{L}\p{N} _.%-]*$/u.test(text) && text === text.trim() ? text : JSON.stringify(text);
}

/** The changes to put into a scenario, a key a line. @param {Asked} asked */
export function changesYaml(asked) {
  const change = changeOf(asked);
  const cards = Object.entries(caseCardsOf(asked));
  if (!Object.keys(change).length && !cards.length && !asked.base) return "# Nothing was changed.\n";
  const lines = asked.base ? [`# All this comes on top of the case ${yaml(asked.base)}.`] : [];
  if (Object.keys(change).length) lines.push("# Put this under `change:` of the scenario (or of a case).", "change:");
  for (const [key, value] of Object.entries(change)) {
    if (Array.isArray(value)) lines.push(`  ${key}:`, ...value.map((one) => `    - ${yaml(one)}`));
    else if (key === "spending_cap" && typeof value === "number") lines.push(`  ${key}: ${value.toFixed(2)}`);
    else lines.push(`  ${key}: ${yaml(value)}`);
  }
  if (cards.length) lines.push("# Other prices and powers, and keeps and bans lifted: in a case under `cards:`, or change the sheets.", "cards:");
  for (const [name, values] of cards) lines.push(`  ${yaml(name)}: ${yaml(values)}`);
  return lines.join("\n") + "\n";
}

/** A state as one of the scenario's cases. @param {string} name @param {Asked} asked */
export function caseYaml(name, asked) {
  const cards = caseCardsOf(asked);
  return `${asked.base ? `  # On top of the case ${yaml(asked.base)}, whose changes it must repeat.\n` : ""}  - ${yaml({ name, change: changeOf(asked), ...(Object.keys(cards).length ? { cards } : {}) })}\n`;
}

/**
 * A sheet with other values in it, its columns, lines and separator as they are; null where nothing in it changes.
 * @param {string} text @param {Record<string, import("./types.js").Values>} values
 */
export function changedSheet(text, values) {
  const [header, ...rows] = readSheet(text);
  const names = header ? header.map(folded) : [];
  const at = names.indexOf("name");
  const wanted = new Map(Object.entries(values).map(([name, value]) => [folded(name), /** @type {Record<string, number>} */ (value)]));
  let changed = false;
  for (const row of at < 0 ? [] : rows) {
    const value = wanted.get(folded(row[at] || ""));
    for (const [field, number] of Object.entries(value || {})) {
      const column = names.indexOf(field);
      if (column < 0 || Number(row[column]) === number) continue;
      row[column] = field === "price" ? number.toFixed(2) : String(number);
      changed = true;
    }
  }
  return changed ? (text.startsWith("\uFEFF") ? "\uFEFF" : "") + sheet(header, rows, separatorOf(text)) : null;
}

/** The columns of a journal, as `revise --apply` writes them. */
const JOURNAL = ["date", "change", "card", "copies", "price", "reason"];

/**
 * A journal (null: there is none yet) with more lines behind it; its columns, separator and mark stay.
 * @param {string | null} text @param {Record<string, string | number>[]} lines by the names of its columns
 */
export function journalSheet(text, lines) {
  const [columns, ...rows] = text ? readSheet(text) : [[...JOURNAL]];
  for (const name of JOURNAL) if (!columns.some((column) => folded(column) === name)) columns.push(name);
  const all = [...rows.map((row) => columns.map((_, at) => row[at] ?? "")), ...lines.map((line) => columns.map((column) => line[folded(column)] ?? ""))];
  return (text?.startsWith("\uFEFF") ? "\uFEFF" : "") + sheet(columns, all, text ? separatorOf(text.replace(/^\uFEFF/, "")) : ",");
}

/** Hands a file to the browser's downloads. @param {string} name @param {string | Blob} text @param {string} [type] */
export function handOut(name, text, type = "text/csv") {
  const link = document.createElement("a");
  const url = URL.createObjectURL(typeof text === "string" ? new Blob([text], { type: `${type};charset=utf-8` }) : text);
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
