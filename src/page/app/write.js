// What is taken home: sheets as text, changes as YAML, files handed to the browser.
import { changeOf, freedOf } from "./asked.js";

/** @typedef {import("./types.js").Asked} Asked */

/** A sheet, RFC 4180. @param {string[]} header @param {(string | number | null | undefined)[][]} lines @param {string} [separator] */
export function sheet(header, lines, separator = ",") {
  const cell = (/** @type {string | number | null | undefined} */ value) => {
    const text = value === null || value === undefined ? "" : String(value);
    return /["\r\n;,\t]/.test(text) || text !== text.trim() ? `"${text.replaceAll('"', '""')}"` : text;
  };
  return [header, ...lines].map((line) => line.map(cell).join(separator)).join("\n") + "\n";
}

/** The rows of a sheet; the separator is the one that its first line has most of. @param {string} text @returns {string[][]} */
export function readSheet(text) {
  const clean = text.replace(/^\uFEFF/, "");
  const first = clean.split(/\r?\n/, 1)[0];
  const separator = [",", ";", "\t"].reduce((best, one) => (first.split(one).length > first.split(best).length ? one : best));
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
  const lines = ["# Put this under `change:` of the scenario (or under a case's `change:`)."];
  if (!Object.keys(change).length && !Object.keys(freedOf(asked)).length) return "# Nothing was changed.\n";
  lines.push("change:");
  for (const [key, value] of Object.entries(change)) {
    if (Array.isArray(value)) lines.push(`  ${key}:`, ...value.map((one) => `    - ${yaml(one)}`));
    else if (key === "spending_cap" && typeof value === "number") lines.push(`  ${key}: ${value.toFixed(2)}`);
    else lines.push(`  ${key}: ${yaml(value)}`);
  }
  return lines.join("\n") + "\n" + freedLines(asked);
}

/** @param {Asked} asked */
function freedLines(asked) {
  const freed = Object.keys(freedOf(asked));
  if (!freed.length) return "";
  return ["# The scenario keeps or bans these; free again they are only in a case, under its `cards:`.", "cards:"]
    .concat(freed.map((name) => `  ${yamlText(name)}: {keep: no, ban: no, wish: no}`))
    .join("\n") + "\n";
}

/** A state as one of the scenario's cases. @param {string} name @param {Asked} asked */
export function caseYaml(name, asked) {
  const cards = freedOf(asked);
  return `  - ${yaml({ name, change: changeOf(asked), ...(Object.keys(cards).length ? { cards } : {}) })}\n`;
}

/** Hands a file to the browser's downloads. @param {string} name @param {string} text @param {string} [type] */
export function handOut(name, text, type = "text/csv") {
  const link = document.createElement("a");
  const url = URL.createObjectURL(new Blob([text], { type: `${type};charset=utf-8` }));
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}
