// The page for the players: a field for notes beside each card, and all of them as a sheet for `feedback`.
import { handOut, today } from "../app/hand-out.js";
import { count } from "../app/numbers.js";
import { sheet } from "../app/sheet-text.js";

const verdicts = ["", "better", "fine", "worse", "unused"];

/** @param {string} kind @param {Record<string, any>} set @param {string} label */
function field(kind, set, label) {
  const made = Object.assign(document.createElement(kind), set);
  made.setAttribute("aria-label", label);
  return made;
}

/** A line for each card of which something is said. @param {NodeListOf<HTMLTableRowElement>} rows */
function notesIn(rows) {
  const lines = [];
  for (const row of rows) {
    const name = row.querySelector("th bdi")?.textContent || "";
    const verdict = row.querySelector("select")?.value || "";
    const note = row.querySelector("input")?.value.trim() || "";
    if (verdict || note) lines.push([name, today(), verdict || "fine", note]);
  }
  return lines;
}

function begin() {
  const rows = /** @type {NodeListOf<HTMLTableRowElement>} */ (document.querySelectorAll("#still-list tbody tr"));
  const bar = document.querySelector("#notes");
  if (!bar || !rows.length) return;
  for (const row of rows) {
    const name = row.querySelector("th bdi")?.textContent || "";
    const choice = field("select", {}, `Verdict on ${name}`);
    for (const verdict of verdicts) choice.append(Object.assign(document.createElement("option"), { textContent: verdict, value: verdict }));
    const place = row.querySelector(".notes");
    place?.append(choice, " ", field("input", { type: "text", size: 24 }, `Note on ${name}`));
  }
  const said = Object.assign(document.createElement("span"), { className: "quiet" });
  said.setAttribute("role", "status");
  const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Save the notes as a sheet" });
  button.addEventListener("click", () => {
    const notes = notesIn(rows);
    said.textContent = notes.length ? `${count(notes.length, "note")} saved.` : "No card has a note yet.";
    if (notes.length) handOut("notes.csv", sheet(["card", "date", "verdict", "note"], notes));
    saved = JSON.stringify(notes);
  });
  let saved = JSON.stringify(notesIn(rows));
  addEventListener("beforeunload", (event) => {
    if (JSON.stringify(notesIn(rows)) !== saved) event.preventDefault();
  });
  bar.before(Object.assign(document.createElement("p"), { textContent: "How did a card play? What stands beside the cards is kept by this page only until it is closed: save it, and give the sheet to whoever keeps the pool." }));
  bar.append(button, " ", said);
}

begin();
