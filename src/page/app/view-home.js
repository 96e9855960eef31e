// Taking home: the pool, the shopping list, changed sheets, changes as YAML, the page itself; and new sheets dropped on it.
import { html, useState } from "../vendor/preact.js";
import { askedLines } from "./asked.js";
import { caseYaml, changesYaml } from "./changes-text.js";
import { bytesFromBase64 } from "./engine.js";
import { handOut, today } from "./hand-out.js";
import { byName, lastPart, money } from "./numbers.js";
import { chosen, dropped, takeIn } from "./intake.js";
import { savedPage } from "./save.js";
import { textOf } from "./sources.js";
import { poolOf } from "./tally.js";
import { changedSheet, decimals, journalSheet, sheet } from "./sheet-text.js";
import { Part, useStore } from "./widgets.js";
import { zipped } from "./zip.js";

/** @typedef {import("./store.js").Store} Store */

/** What can be saved as files. */
export function HomePart() {
  const store = useStore();
  const save = (/** @type {string} */ name, /** @type {string | Blob} */ text, /** @type {string} */ type = "text/csv") => {
    handOut(name, text, type);
    store.tell(`${name} is handed to your browser's downloads.`);
  };
  const byEngine = async (/** @type {string} */ name) => {
    const file = await store.fileOf(name);
    if (typeof file === "string") save(name, file);
    else if (file) save(name, new Blob([/** @type {BlobPart} */ (bytesFromBase64(file.base64))], { type: BOOK_TYPE }));
  };
  const wishes = Object.entries(store.step.asked.cards);
  const answered = (/** @type {string} */ name, /** @type {string} */ title, /** @type {string} */ words) => html`<li><button type="button" disabled=${!store.ready || !store.pool.size} onClick=${() => byEngine(name)}>${title}</button> <span class="quiet">${name}: ${words}</span></li>`;
  return html`<${Part} id="home" title="Take home" note="files, and this page">
    ${store.startEngine ? null : html`<p class="quiet">The pool as a sheet comes from the optimiser, which this page does not hold: <code>poolwright best ... -o pool.csv</code>.</p>`}
    <ul class="files">
      ${answered("pool.csv", "The pool", `${store.pool.size} cards, a sheet for the scenario's pool`)}
      ${answered("pool.xlsx", "The pool as a workbook", "the list; themes, curves, limits, shopping and changes as sheets beside it")}
      ${answered("shopping.csv", "The shopping list", "dearest first")}
      <li><button type="button" disabled=${!wishes.length} onClick=${() => save("wishes.csv", wishesSheet(store))}>Keeps, bans and wishes</button> <span class="quiet">wishes.csv: name and status, a sheet for the scenario's <code>tags</code></span></li>
      <li><button type="button" disabled=${!store.model.present && !store.revision?.from} onClick=${() => save("present.csv", presentSheet(store))}>The present pool with the swaps taken</button> <span class="quiet">present.csv</span></li>
      <li><button type="button" disabled=${!takenSwaps(store).length} onClick=${() => save(journalName(store), journal(store))}>The journal with the swaps taken</button> <span class="quiet">${journalName(store)}: what went out and came in, when and why; beside the scenario</span></li>
      <li><button type="button" onClick=${() => save("changes.yaml", changesYaml(store.step.asked) + store.kept.map((one, at) => (at ? "" : "cases:\n") + caseYaml(one.name, one.asked)).join(""), "application/yaml")}>What was changed</button> <span class="quiet">changes.yaml: to put into the scenario${store.kept.length ? ", with the cases kept here" : ""}</span></li>
      <li><button type="button" onClick=${() => save(`${folderName(store)}.zip`, zipped(wholeFolder(store)))}>The whole scenario, as a folder</button> <span class="quiet">${folderName(store)}.zip: unpacked, the command line reads it${askedLines(store.step.asked).length ? "; what was changed here lies beside it as changes.yaml" : ""}</span></li>
      ${changedSheets(store).map(([path, text]) => html`<li><button type="button" onClick=${() => save(lastPart(path), text)}>${path}</button> <span class="quiet">with the prices and powers tried here</span></li>`)}
      ${newPrices(store).length ? html`<li><button type="button" onClick=${() => save("new prices.csv", sheet(["name", "price"], newPrices(store), store.model.sheets))}>Prices tried that stand in workbooks</button> <span class="quiet">new prices.csv: workbooks are never written over; a sheet for the scenario's <code>prices</code>, instead of those of these cards</span></li>` : null}
      ${Object.entries(store.data.files).flatMap(([path, file]) => (store.dropped.has(path) && typeof file === "string" ? [{ path, file }] : [])).map(({ path, file }) => html`<li><button type="button" onClick=${() => save(lastPart(path), file)}>${path}</button> <span class="quiet">changed here</span></li>`)}
      <li><button type="button" onClick=${() => { save("pool.html", savedPage(store), "text/html"); store.saved(); }}>This page, with all that was tried</button> <span class="quiet">pool.html: opens again where you are now</span></li>
    </ul>
    <${DropField} />
  </${Part}>`;
}

const BOOK_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet";

/** Money as the scenario's sheets write it. @param {Store} store @param {number} sum */
function sheetMoney(store, sum) {
  return decimals(money(sum), !!store.model.sheets?.decimal_commas);
}

/** Sheets of the scenario in which prices or powers are others now. @param {Store} store @returns {[string, string][]} */
function changedSheets(store) {
  const values = store.step.asked.values;
  if (!Object.keys(values).length) return [];
  return Object.entries(store.data.files).flatMap(([path, text]) => {
    const changed = typeof text === "string" && /\.(csv|tsv|txt)$/i.test(path) ? changedSheet(text, values, store.model.sheets?.headers) : null;
    return changed === null ? [] : [/** @type {[string, string]} */ ([path, changed])];
  });
}

/** Prices that no sheet of text has: they stand in a workbook. @param {Store} store @returns {[string, string][]} */
function newPrices(store) {
  const texts = Object.entries(store.data.files).flatMap(([path, file]) => (typeof file === "string" && /\.(csv|tsv|txt)$/i.test(path) ? [file] : []));
  return Object.entries(store.step.asked.values).flatMap(([name, { price }]) => {
    const stands = price === undefined || texts.some((text) => changedSheet(text, { [name]: { price } }, store.model.sheets?.headers) !== null);
    return stands ? [] : [/** @type {[string, string]} */ ([name, sheetMoney(store, price)])];
  });
}

/** The scenario's own folder. @param {Store} store */
function folderName(store) {
  return store.data.main.split("/").slice(-2)[0].replace(/\.ya?ml$/, "") || "pool";
}

/** All files of the scenario with the sheets as they are now; what was changed besides lies beside it. @param {Store} store */
function wholeFolder(store) {
  const changes = askedLines(store.step.asked).length ? { [store.data.main.replace(/[^/]*$/, "changes.yaml")]: changesYaml(store.step.asked) } : {};
  return { ...store.data.files, ...Object.fromEntries(changedSheets(store)), ...changes };
}

/** @param {Store} store */
function wishesSheet(store) {
  const entries = Object.entries(store.step.asked.cards).filter(([, wish]) => wish !== "free").sort(([a], [b]) => byName(a, b));
  return sheet(["name", "tag", "status"], entries.map(([name, wish]) => [name, "", wish]), store.model.sheets);
}

/** @param {Store} store */
function takenSwaps(store) {
  return Object.values(store.marks).flatMap((mark) => (mark.mark === "taken" && mark.swap ? [{ ...mark, swap: mark.swap }] : []));
}

/** @param {Store} store */
function journalName(store) {
  return (store.model.journal?.name || "journal.csv").replace(/\.(xlsx|ods)$/i, ".csv");
}

/** The scenario's journal with two lines for each swap that was taken. @param {Store} store */
function journal(store) {
  const at = store.model.journal?.file;
  const price = (/** @type {string} */ name) => {
    const known = store.cards.get(name)?.price ?? null;
    return known === null ? "" : sheetMoney(store, known);
  };
  return journalSheet(at ? textOf(store.data.files, at) : null, takenSwaps(store).flatMap(({ swap, date, because }) =>
    [["out", swap.leave], ["in", swap.enter]].map(([change, card]) => ({ date: date || today(), change, card, copies: 1, price: price(card), reason: because || "" }))), store.model.sheets);
}

/** The pool that the swaps are of, after those that were taken. @param {Store} store */
export function presentSheet(store) {
  const present = store.revision?.from ? poolOf(store.revision.from) : new Map([...store.cards.values()].flatMap((card) => (card.present ? [[card.name, card.present]] : [])));
  for (const { swap } of takenSwaps(store)) {
    if (!present.has(swap.leave)) continue; // taken when another pool was looked at
    add(present, swap.enter, 1);
    add(present, swap.leave, -1);
  }
  return sheet(["name", "copies"], [...present].sort(([a], [b]) => byName(a, b)).map(([name, copies]) => [name, copies]), store.model.sheets);
}

/** @param {Map<string, number>} pool @param {string} name @param {number} copies */
function add(pool, name, copies) {
  const left = (pool.get(name) || 0) + copies;
  if (left > 0) pool.set(name, left);
  else pool.delete(name);
}

/** Where sheets are dropped or chosen. @param {{folder?: boolean}} props */
export function DropField({ folder }) {
  const store = useStore();
  const [over, setOver] = useState(false);
  const take = async (/** @type {HTMLInputElement} */ field) => {
    const files = chosen(field.files);
    if (files.length) await takeIn(store, files);
    field.value = ""; // the same file may be chosen again
  };
  return html`<div class=${`drop ${over ? "over" : ""}`} onDragOver=${(/** @type {DragEvent} */ event) => { event.preventDefault(); setOver(true); }} onDragLeave=${() => setOver(false)}
    onDrop=${(/** @type {DragEvent} */ event) => { event.preventDefault(); event.stopPropagation(); setOver(false); takeIn(store, dropped(event.dataTransfer)); }}>
    <p>${folder ? "Drop a scenario's files here, or sheets of candidates." : "Drop new sheets here: prices, notes, candidates, owned cards; or a new version of a file of the scenario."}</p>
    <p class="row"><label>Choose files <input type="file" multiple onChange=${(/** @type {any} */ event) => take(event.currentTarget)} /></label>
      ${folder ? html`<label>or a folder <input type="file" webkitdirectory onChange=${(/** @type {any} */ event) => take(event.currentTarget)} /></label>` : null}</p>
    ${store.intake ? html`<p role="status" class=${store.intake.problem ? "problem" : ""}>${store.intake.words}</p>` : null}
  </div>`;
}
