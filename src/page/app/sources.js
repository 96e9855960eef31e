// What sheets say that the engine does not: notes from play, how old prices are, what a sheet is for.
import { folded, own } from "./numbers.js";
import { unguarded } from "./sheet-text.js";

/** @typedef {import("./types.js").Cells} Cells */
/** @typedef {import("./types.js").PageData["files"]} Files */

/** The text of a file, where it is one. @param {Files} files @param {string} path */
export function textOf(files, path) {
  const file = own(files, path);
  return typeof file === "string" ? file : null;
}

/** Whether a file may be a sheet, by its name: an ending that sheets have, or none. @param {string} path */
export function mayBeSheet(path) {
  return /(\.(csv|tsv|txt|xlsx|xlsm|ods)|(^|\/)[^./]+)$/i.test(path);
}

/** Whether a file is part of a scenario. @param {string} path */
export function mayBeRules(path) {
  return /\.ya?ml$/i.test(path);
}

/** The cells of all sheets, as the engine reads them. @param {Files} files @param {Pick<import("./types.js").Engine, "sheets">} engine @returns {Promise<Cells[]>} */
export async function allCells(files, engine) {
  /** @type {Cells[]} */
  const all = [];
  for (const path of Object.keys(files).filter(mayBeSheet)) all.push(...((await engine.sheets(path)).sheets || []));
  return all;
}

/** How old the prices are of what is to be bought; the sentence for the first view. @param {import("./types.js").Card[]} cards */
export function priceDates(cards) {
  const days = cards.flatMap((card) => (card.price_date ? [card.price_date] : [])).sort();
  if (!days.length) return cards.length ? "The prices carry no dates." : "";
  const [oldest, newest] = [days[0], days[days.length - 1]];
  const without = cards.filter((card) => card.price !== null && !card.price_date).length;
  return `${oldest === newest ? `Prices of ${newest}` : `Prices from ${oldest} to ${newest}`}${without ? `; ${without} without a date` : ""}.`;
}

/** @typedef {{date: string, verdict: string, text: string, points: number}} Note */

/** @type {Record<string, number>} */
const VERDICTS = { better: 0.5, worse: -0.5, unused: -0.25, fine: 0, "": 0 };

/** What a sheet is for, by its header. @param {Cells} cells @param {Record<string, string>} [headers] what the model calls fields @returns {"cards" | "prices" | "owned" | "tags" | "targets" | "journal" | "notes" | "names" | ""} names: with nothing known about them; "": no sheet for a scenario */
export function roleOf({ header, notes }, headers = {}) {
  const names = header.map(folded);
  const has = (/** @type {string} */ field) => names.includes(field) || names.includes(folded(own(headers, field) ?? field));
  if (notes && !has("power")) return "notes";
  if (names.includes("card") && names.includes("change")) return "journal";
  if (names[0] === "rule") return "targets";
  if (!has("name")) return "";
  if (has("colours") || has("colors") || has("kind") || has("power")) return "cards";
  if (has("price")) return "prices";
  if (has("tag") || has("status")) return "tags";
  return has("copies") || has("owned") ? "owned" : "names";
}

/** What a verdict adds to a power, as `feedback` counts it; undefined where it is none. @param {string} verdict @param {Record<string, string>} [words] the model's own @returns {number | undefined} */
function pointsOf(verdict, words = {}) {
  const meant = Object.entries(words).find(([word]) => folded(word) === folded(verdict))?.[1] ?? verdict;
  const points = own(VERDICTS, folded(meant)) ?? Number(verdict.replace(",", ".").replace("−", "-"));
  return Math.abs(points) <= 1000 ? points : undefined;
}

/** Notes of all sheets that hold some, by card, the newest first; and what in them is no note. @param {Cells[]} sheets @param {Map<string, string>} byFolded @param {import("./types.js").SheetStyle} [style] what the model calls fields and verdicts */
export function notesOf(sheets, byFolded, style) {
  /** @type {Map<string, Note[]>} */
  const notes = new Map();
  /** @type {string[]} */
  const problems = [];
  for (const { rows, notes: found } of sheets.filter((one) => roleOf(one, style?.headers) === "notes")) {
    const at = Object.fromEntries(["card", "verdict", "date", "note"].map((name, k) => [name, found?.[k] ?? -1]));
    for (const row of rows) {
      const cell = (/** @type {string} */ name) => unguarded((row[at[name]] || "").trim());
      const name = byFolded.get(folded(cell("card")));
      const verdict = cell("verdict");
      const points = pointsOf(verdict, style?.words);
      if (name === undefined) problems.push(`no candidate is called '${cell("card")}'`);
      else if (points === undefined) problems.push(`found '${verdict}' beside ${name}, expected better, worse, fine, unused or points from -1000 to 1000 such as +1 or -0.5 (other words for these can stand in the model, under read: words)`);
      else notes.set(name, [{ date: cell("date"), verdict, text: cell("note"), points }, ...(notes.get(name) || [])]);
    }
  }
  return { notes, problems };
}

/** The powers that notes propose, within the least and the greatest there are. @param {Map<string, Note[]>} notes @param {Map<string, import("./types.js").Card>} cards @param {number} unscored */
export function proposedPowers(notes, cards, unscored) {
  const powers = [...cards.values()].flatMap((card) => (card.power === null ? [] : [card.power]));
  const [least, most] = [Math.min(...powers), Math.max(...powers)];
  return Object.fromEntries([...notes].flatMap(([name, list]) => {
    const old = cards.get(name)?.power ?? unscored;
    const sum = list.reduce((total, note) => total + note.points, 0);
    const power = Math.round(Math.max(Math.min(least, old), Math.min(Math.max(most, old), old + sum)) * 1000) / 1000;
    return power === old ? [] : [[name, { power }]];
  }));
}
