// A scenario's YAML as text: its lists of sheets read and changed, while layout and comments stay.
import { yaml } from "./changes-text.js";

/** @typedef {{path: string, from: number, to: number}} Item of a list, and where it stands in the text */

/** A path as YAML has it: plain, or in quotes. */
const ITEM = /"(?:[^"\\]|\\.)*"|'(?:[^']|'')*'|[^\s,\[\]#'"-](?:[^,\]\n#]|(?<=\S)#)*/g;

/** @param {string} item as it is written */
function unquoted(item) {
  if (item.startsWith('"')) return JSON.parse(item);
  return item.startsWith("'") ? item.slice(1, -1).replaceAll("''", "'") : item.trim();
}

/** Where the value of a key of the scenario stands. @param {string} text @param {string} key */
function valueOf(text, key) {
  const found = new RegExp(`^${key}:[ \\t]*`, "m").exec(text);
  if (!found) return null;
  const from = found.index + found[0].length;
  if (text[from] === "[") return { from, to: text.indexOf("]", from) + 1 || text.length, flow: true };
  const rest = /^(?:[^\n]*)(?:\n(?:[ \t]+[^\n]*|- [^\n]*|[ \t]*#[^\n]*|[ \t]*(?=\n)))*/.exec(text.slice(from));
  return { from, to: from + (rest ? rest[0].length : 0), flow: false };
}

/** The paths under a key of the scenario: a list on one line or several, or a single one. @param {string} text @param {string} key @returns {Item[]} */
export function sheetsUnder(text, key) {
  const value = valueOf(text, key);
  if (!value) return [];
  const items = [];
  const inside = text.slice(value.from, value.to).replace(/(^|\s)#[^\n]*/g, (comment) => " ".repeat(comment.length));
  for (const found of inside.matchAll(ITEM)) {
    const path = unquoted(found[0]);
    items.push({ path, from: value.from + found.index, to: value.from + found.index + found[0].trimEnd().length });
  }
  return items;
}

/** The scenario's text with one more sheet under a key. @param {string} text @param {string} key @param {string} name */
export function withSheet(text, key, name) {
  const path = yaml(name);
  const value = valueOf(text, key);
  if (!value) return `${text.replace(/\n*$/, "\n")}${key}: [${path}]\n`;
  const items = sheetsUnder(text, key);
  const last = items[items.length - 1];
  if (value.flow) {
    const at = last ? last.to : value.from + 1;
    return `${text.slice(0, at)}${last ? ", " : ""}${path}${text.slice(at)}`;
  }
  if (!last) return `${text.slice(0, value.from)} [${path}]${text.slice(value.from)}`.replace(/: +\[/, ": [");
  const line = text.lastIndexOf("\n", last.from) + 1;
  const dash = /^[ \t]*- */.exec(text.slice(line, last.from))?.[0];
  if (dash === undefined) return `${text.slice(0, last.from)}[${text.slice(last.from, last.to)}, ${path}]${text.slice(last.to)}`;
  const end = text.indexOf("\n", last.to);
  return end < 0 ? `${text}\n${dash}${path}\n` : `${text.slice(0, end + 1)}${dash}${path}\n${text.slice(end + 1)}`;
}

/** The scenario's text with another path in the place of a sheet's; null: without it. @param {string} text @param {string} key @param {string} path @param {string | null} other */
export function withPath(text, key, path, other) {
  const items = sheetsUnder(text, key);
  const at = items.findIndex((item) => item.path === path);
  if (at < 0) return text;
  const { from, to } = items[at];
  if (other !== null) return text.slice(0, from) + yaml(other) + text.slice(to);
  const line = text.lastIndexOf("\n", from) + 1;
  if (/^[ \t]*- *$/.test(text.slice(line, from))) return text.slice(0, line) + text.slice((text.indexOf("\n", to) + 1) || text.length);
  if (items[at + 1]) return text.slice(0, from) + text.slice(items[at + 1].from);
  return text.slice(0, items[at - 1]?.to ?? from) + text.slice(to);
}

/** The scenario's text with this one sheet under a key, whatever stood there. @param {string} text @param {string} key @param {string} name */
export function withOnly(text, key, name) {
  const [old] = sheetsUnder(text, key);
  return old ? withPath(text, key, old.path, name) : `${text.replace(/\n*$/, "\n")}${key}: ${yaml(name)}\n`;
}

/** A path as seen from the folder of another file. @param {string} main @param {string} path */
export function beside(main, path) {
  const parts = main.split("/").slice(0, -1);
  for (const part of path.split("/")) {
    if (part === ".." && parts.length && parts[parts.length - 1] !== "..") parts.pop();
    else if (part !== ".") parts.push(part);
  }
  return parts.join("/");
}
