// What can be read off the files in the page without the engine.
import { folded } from "./numbers.js";
import { readSheet } from "./write.js";

/** The text of a file, where it is one. @param {import("./types.js").PageData["files"]} files @param {string} path */
export function textOf(files, path) {
  const file = files[path];
  return typeof file === "string" ? file : null;
}

/** How old the prices are, where sheets say so; the sentence for the first view. @param {import("./types.js").PageData["files"]} files */
export function priceDates(files) {
  let [oldest, newest] = ["", ""];
  for (const path of Object.keys(files || {})) {
    const text = /\.(csv|tsv|txt)$/i.test(path) ? textOf(files, path) : null;
    if (!text) continue;
    const first = text.slice(0, text.indexOf("\n")).toLowerCase();
    if (!first.includes("date") || !first.includes("price")) continue;
    const [header, ...rows] = readSheet(text);
    const at = header.findIndex((cell) => cell.trim().toLowerCase() === "date");
    if (at < 0) continue;
    for (const row of rows) {
      const day = isoDay(row[at] || "");
      if (!day) continue;
      if (!oldest || day < oldest) oldest = day;
      if (day > newest) newest = day;
    }
  }
  if (!newest) return "The prices carry no dates.";
  return oldest === newest ? `Prices of ${newest}.` : `Prices from ${oldest} to ${newest}.`;
}

/** @param {string} text */
function isoDay(text) {
  const turned = /^(\d{2})\.(\d{2})\.(\d{4})$/.exec(text.trim());
  if (turned) return `${turned[3]}-${turned[2]}-${turned[1]}`;
  return /^\d{4}-\d{2}-\d{2}$/.test(text.trim()) ? text.trim() : "";
}

/** @typedef {{date: string, verdict: string, text: string, points: number}} Note */

const VERDICTS = /** @type {Record<string, number>} */ ({ better: 0.5, worse: -0.5, unused: -0.25, fine: 0, "": 0 });

/** Whether a sheet holds notes from play. @param {string[]} header folded */
export function holdsNotes(header) {
  return header.includes("card") && header.includes("verdict");
}

/** Notes of all sheets that hold some, by card; the verdicts count as `feedback` counts them. @param {import("./types.js").PageData["files"]} files @param {Map<string, string>} byFolded */
export function notesOf(files, byFolded) {
  /** @type {Map<string, Note[]>} */
  const notes = new Map();
  for (const path of Object.keys(files || {})) {
    const text = /\.(csv|tsv|txt)$/i.test(path) ? textOf(files, path) : null;
    if (!text) continue;
    const [header = [], ...rows] = readSheet(text);
    const names = header.map(folded);
    if (!holdsNotes(names)) continue;
    for (const row of rows) {
      const cell = (/** @type {string} */ name) => (row[names.indexOf(name)] || "").trim();
      const name = byFolded.get(folded(cell("card")));
      if (name === undefined) continue;
      const verdict = cell("verdict");
      const note = { date: cell("date"), verdict, text: cell("note"), points: VERDICTS[folded(verdict)] ?? (Number(verdict) || 0) };
      notes.set(name, [note, ...(notes.get(name) || [])]);
    }
  }
  return notes;
}

/** The powers that notes propose, within the least and the greatest there are. @param {Map<string, Note[]>} notes @param {Map<string, import("./types.js").Card>} cards @param {number} unscored */
export function proposedPowers(notes, cards, unscored) {
  const powers = [...cards.values()].flatMap((card) => (card.power === null ? [] : [card.power]));
  const [least, most] = [Math.min(...powers), Math.max(...powers)];
  /** @type {Record<string, {power: number}>} */
  const values = {};
  for (const [name, list] of notes) {
    const old = cards.get(name)?.power ?? unscored;
    const sum = list.reduce((total, note) => total + note.points, 0);
    const power = Math.round(Math.max(Math.min(least, old), Math.min(Math.max(most, old), old + sum)) * 1000) / 1000;
    if (power !== old) values[name] = { power };
  }
  return values;
}
