// Files dropped on the page: known by their names or their headers, put into the scenario, and the engine opened with them.
import { folded } from "./numbers.js";
import { holdsNotes, textOf } from "./sources.js";
import { readSheet, yaml } from "./write.js";

/** @typedef {import("./store.js").Store} Store */
/** @typedef {import("./types.js").PageData["files"]} Files */

/** @param {Store} store @param {File[]} dropped */
export async function takeIn(store, dropped) {
  /** @type {Files} */
  const files = { ...(store.data.files || {}) };
  let main = store.data.main;
  const words = [];
  const sheets = [];
  for (const file of dropped) {
    const path = store.data.main ? file.webkitRelativePath || file.name : `scenarios/${file.webkitRelativePath || `mine/${file.name}`}`;
    const content = await contentOf(file);
    if (!store.data.main && /\.ya?ml$/.test(path) && typeof content === "string" && /^model:/m.test(content) && /^cards:/m.test(content)) main = path;
    const known = Object.keys(files).find((other) => other === path || (store.data.main && folded(other.split("/").pop() || "") === folded(file.name)));
    if (known) {
      files[known] = content;
      words.push(`${known} is replaced`);
    } else if (/\.ya?ml$/.test(path) || file.webkitRelativePath) files[path] = content;
    else sheets.push({ name: file.name, content });
  }
  if (!main) return store.beginWith(sheets);
  if (!store.data.main) {
    for (const { name, content } of sheets.splice(0)) files[beside(main, name)] = content;
  }
  for (const { name, content } of sheets) {
    const role = typeof content === "string" ? roleOf(content) : "cards";
    if (role === "notes") {
      files[beside(main, name)] = content;
      words.push(`${name} holds notes from play: they stand beside the cards`);
      continue;
    }
    const scenario = textOf(files, main);
    if (scenario === null) continue;
    files[main] = withSheet(scenario, role, name);
    files[beside(main, name)] = content;
    words.push(`${name} is read as ${role === "cards" ? "candidates" : role}`);
  }
  await store.reopen(files, main, words.join("; "));
  if (!store.intake?.problem) store.tryNotes();
}

/** Text as text; workbooks and whatever else is no UTF-8 as bytes. @param {File} file @returns {Promise<string | {base64: string}>} */
async function contentOf(file) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  if (/\.(csv|tsv|txt|ya?ml)$/i.test(file.name)) {
    try {
      return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
    } catch {
      // Not UTF-8: the engine reads it as Windows-1252.
    }
  }
  let text = "";
  for (let at = 0; at < bytes.length; at += 32768) text += String.fromCharCode(...bytes.subarray(at, at + 32768));
  return { base64: btoa(text) };
}

/** What a sheet is for, by its header. @param {string} text @returns {"cards" | "prices" | "owned" | "tags" | "notes"} */
export function roleOf(text) {
  const header = (readSheet(text)[0] || []).map(folded);
  const has = (/** @type {string} */ name) => header.includes(name);
  if (holdsNotes(header)) return "notes";
  if (has("colours") || has("colors") || has("kind") || has("power")) return "cards";
  if (has("price")) return "prices";
  if (has("tag") || has("status")) return "tags";
  return has("copies") || has("owned") ? "owned" : "cards";
}

/** A path in the folder of another file. @param {string} main @param {string} name */
function beside(main, name) {
  return main.includes("/") ? `${main.slice(0, main.lastIndexOf("/"))}/${name}` : name;
}

/** The scenario's text with one more sheet under a key; its layout and comments stay. @param {string} text @param {string} key @param {string} name */
export function withSheet(text, key, name) {
  const path = yaml(name);
  const flow = new RegExp(`^${key}:[ \\t]*\\[(.*)\\]`, "m");
  const inline = flow.exec(text);
  if (inline) return text.replace(flow, `${key}: [${inline[1].trim() ? `${inline[1].trim()}, ` : ""}${path}]`);
  const block = new RegExp(`^${key}:[ \\t]*(#.*)?\\n`, "m").exec(text);
  if (block) {
    const end = block.index + block[0].length;
    const indent = /^[ \t]*(?=-)/.exec(text.slice(end))?.[0] ?? "  ";
    return `${text.slice(0, end)}${indent}- ${path}\n${text.slice(end)}`;
  }
  return `${text.replace(/\n*$/, "\n")}${key}: [${path}]\n`;
}
