// Files dropped on the page: known by their names or their headers, put into the scenario, and the engine opened with them.
import { folded, lastPart, own, problemWords } from "./numbers.js";
import { importerOf } from "./pieces.js";
import { beside, sheetsUnder, withOnly, withPath, withSheet } from "./scenario-text.js";
import { mayBeRules, mayBeSheet, notesOf, roleOf, textOf } from "./sources.js";
import { separatorOf, sheet, unguarded } from "./sheet-text.js";

/** @typedef {import("./store.js").Store} Store */
/** @typedef {import("./types.js").Cells} Cells */
/** @typedef {import("./types.js").PageData["files"]} Files */
/** @typedef {{name: string, content: string | {base64: string}}} Dropped */
/** @typedef {{name: string, file: File}} Named a file by its path from what was dropped or chosen */

/** Files that were chosen. @param {Iterable<File> | null | undefined} files @returns {Named[]} */
export function chosen(files) {
  return [...(files || [])].map((file) => ({ name: file.webkitRelativePath || file.name, file }));
}

/** Files that were dropped, those within folders too. @param {DataTransfer | null} data @returns {Promise<Named[]>} */
export async function dropped(data) {
  const entries = [...(data?.items || [])].flatMap((item) => item.webkitGetAsEntry?.() || []);
  if (!entries.length) return chosen(data?.files);
  return (await Promise.all(entries.map(filesUnder))).flat();
}

/** @param {any} entry a file or a folder @returns {Promise<Named[]>} */
export async function filesUnder(entry) {
  const name = entry.fullPath.replace(/^\//, "");
  if (entry.isFile) return [{ name, file: await new Promise((done, failed) => entry.file(done, failed)) }];
  const reader = entry.createReader();
  const found = [];
  for (;;) { // a folder is told in pieces
    const more = await new Promise((done, failed) => reader.readEntries(done, failed));
    if (!more.length) return (await Promise.all(found.map(filesUnder))).flat();
    found.push(...more);
  }
}

/** @param {Store} store @param {Named[] | Promise<Named[]>} files */
export async function takeIn(store, files) {
  if (!store.startEngine) return store.tellIntake("This page was written without the optimiser, and cannot read sheets.", true);
  try {
    const useful = (await files).filter(({ name }) => !/(^|\/)(\.|~\$)/.test(name) && (mayBeSheet(name) || mayBeRules(name)));
    if (!useful.length) throw new Error("none of these is a sheet (.csv, .xlsx, .ods) or a scenario (.yaml)");
    const taken = await Promise.all(useful.map(async ({ name, file }) => ({ name, content: await contentOf(file) })));
    await (store.data.main ? addToScenario(store, taken) : beginWith(store, taken));
  } catch (problem) {
    store.tellIntake(`Not taken: ${problem instanceof Error ? problem.message : problem}`, true);
  }
}

/** Text as text; workbooks and whatever else is neither UTF-8 nor UTF-16 as bytes. @param {File} file @returns {Promise<string | {base64: string}>} */
async function contentOf(file) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  const encoding = bytes[0] === 0xff && bytes[1] === 0xfe ? "utf-16le" : bytes[0] === 0xfe && bytes[1] === 0xff ? "utf-16be" : "utf-8";
  if (bytes[0] !== 0x50 || bytes[1] !== 0x4b) {
    try {
      return new TextDecoder(encoding, { fatal: true, ignoreBOM: true }).decode(bytes);
    } catch {
      // The engine reads it as Windows-1252, or says what is wrong.
    }
  }
  let text = "";
  for (let at = 0; at < bytes.length; at += 32768) text += String.fromCharCode(...bytes.subarray(at, at + 32768));
  return { base64: btoa(text) };
}

/** A page without a scenario: a whole scenario is opened, sheets are asked about. @param {Store} store @param {Dropped[]} taken */
async function beginWith(store, taken) {
  const isScenario = (/** @type {Dropped} */ { name, content }) => mayBeRules(name) && typeof content === "string" && /^cards:/m.test(content);
  const found = taken.filter(isScenario);
  const main = found.find(({ name }) => /(^|\/)scenario\.ya?ml$/i.test(name)) || found[0];
  const sheets = taken.filter(({ name }) => mayBeSheet(name));
  if (!main) {
    if (!sheets.length) throw new Error("these are rules without a list: a scenario says cards:, or drop a sheet of candidates");
    return store.beginWith(sheets.map(({ name, content }) => ({ name: lastPart(name), content })));
  }
  const place = (/** @type {string} */ name) => `scenarios/${name.includes("/") ? name : `mine/${name}`}`;
  await store.reopen({ ...store.data.files, ...Object.fromEntries(taken.map(({ name, content }) => [place(name), content])) }, place(main.name), "");
}

/** New versions of files take the place of the old ones; other sheets are added by what they hold. @param {Store} store @param {Dropped[]} taken */
async function addToScenario(store, taken) {
  const { main } = store.data;
  const headers = store.model.sheets?.headers || {};
  const change = { files: { ...store.data.files }, words: /** @type {string[]} */ ([]) };
  for (const { name, content } of taken) {
    const base = lastPart(name);
    const known = Object.keys(change.files).find((path) => path === name) || Object.keys(change.files).find((path) => folded(lastPart(path)) === folded(base));
    if (known) {
      change.files[known] = content;
      change.words.push(`${known} is replaced`);
      continue;
    }
    const path = beside(main, base);
    change.files[path] = content;
    if (!mayBeSheet(name)) {
      change.words.push(`${base} stands beside the scenario`);
      continue;
    }
    const sheets = await cellsByEngine(path, content);
    const used = sheets.map((cells) => ({ cells, role: roleOf(cells, headers) })).filter(({ role }) => role);
    const [problem] = notesOf(sheets, store.opened.byFolded, store.model.sheets).problems;
    if (problem) throw new Error(`${base}: ${problem}`);
    if (!used.length) throw new Error(`${base} has no column ${own(headers, "name") ?? "name"}, and is no sheet of notes (card, verdict)`);
    for (const { cells, role } of used) await addSheet(store, change, sheets.length > 1 ? base + cells.path.slice(path.length) : base, role, cells);
  }
  await store.reopen(change.files, main, change.words.join("; "));
  if (!store.intake?.problem) store.tryNotes();
}

/** @param {string} path @param {string | {base64: string}} content @returns {Promise<Cells[]>} */
async function cellsByEngine(path, content) {
  const importer = await importerOf({ [path]: content });
  const told = await importer.sheets(path);
  importer.end();
  if (told.error) throw new Error(problemWords(told.error));
  return told.sheets || [];
}

/** How the roles of sheets are called. @type {Record<string, string>} */
const CALLED = { cards: "candidates", pool: "the present pool", journal: "the journal" };

/** @param {Store} store @param {{files: Files, words: string[]}} change @param {string} name @param {string} role @param {Cells} cells */
async function addSheet(store, change, name, role, cells) {
  const { main } = store.data;
  if (role === "notes") return change.words.push(`${name} holds notes from play: they stand beside the cards`);
  if (role === "prices") await withoutOlder(store, change, cells);
  const scenario = textOf(change.files, main);
  if (scenario === null) throw new Error(`${main} is no text`);
  const known = areCandidates(store, cells);
  const key = known && ["cards", "owned", "names"].includes(role) && /pool|present/i.test(name) ? "pool" : role === "names" ? "cards" : role;
  if (known && key === "cards" && role === "names") throw new Error(`${name} names candidates, and no column says what of them: expected ${own(store.model.sheets?.headers, "price") ?? "price"}, copies, owned, tag, status or the like`);
  change.files[main] = ["pool", "journal"].includes(key) ? withOnly(scenario, key, name) : withSheet(scenario, key, name);
  change.words.push(`${name} is read as ${CALLED[key] ?? key}`);
}

/** Whether nine of ten names are candidates already. @param {Store} store @param {Cells} cells */
function areCandidates(store, cells) {
  const at = nameColumn(store, cells.header);
  return cells.rows.filter((row) => store.byFolded.has(folded(unguarded(row[at] || "")))).length * 10 >= cells.rows.length * 9;
}

/** Where the names stand. @param {Store} store @param {string[]} header */
function nameColumn(store, header) {
  return header.map(folded).indexOf(folded(own(store.model.sheets?.headers, "name") ?? "name"));
}

/**
 * Of several prices for a card the cheapest counts: so what older sheets say of the cards in a new one is taken out of them (where it names shops, of the same shop).
 * A workbook stays as it is; what is left of it becomes a sheet of text.
 * @param {Store} store @param {{files: Files, words: string[]}} change @param {Cells} fresh
 */
async function withoutOlder(store, change, fresh) {
  const shop = (/** @type {string[]} */ header) => header.map(folded).indexOf("shop");
  const byShop = shop(fresh.header) >= 0;
  const offer = (/** @type {Cells} */ { header }, /** @type {string[]} */ row) => [nameColumn(store, header), ...(byShop ? [shop(header)] : [])].map((at) => folded(unguarded(row[at] || ""))).join("\n");
  const renewed = new Set(fresh.rows.map((row) => offer(fresh, row)));
  const { main } = store.data;
  for (const { path } of sheetsUnder(textOf(change.files, main) || "", "prices")) {
    const [file, tab] = path.split("#");
    const place = beside(main, file);
    const content = own(change.files, place);
    if (content === undefined) continue;
    const all = await cellsByEngine(place, content);
    const old = all.find((one) => !tab || one.path.endsWith(`#${tab}`));
    if (!old) continue;
    const rest = old.rows.filter((row) => !renewed.has(offer(old, row)));
    if (rest.length === old.rows.length) continue;
    change.words.push(`${old.rows.length - rest.length} older prices in ${file} no longer count`);
    const left = sheet(old.header, rest, typeof content === "string" ? { separator: separatorOf(content), decimal_commas: false, marked: content.startsWith("\uFEFF"), headers: {} } : undefined);
    const kept = typeof content === "string" ? file : `${file.replace(/\.\w+$/, "")} older.csv`;
    if (rest.length) change.files[beside(main, kept)] = left;
    if (!rest.length || kept !== file) change.files[main] = withPath(textOf(change.files, main) || "", "prices", path, rest.length ? kept : null);
  }
}
