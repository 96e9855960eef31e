// What can be read off the files in the page without the engine.
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
