// The page for the players: a field for notes beside each card, and all of them as a sheet for `feedback`.

const verdicts = ["", "better", "fine", "worse", "unused"];

/** @param {string} kind @param {Record<string, any>} set @param {string} label */
function field(kind, set, label) {
  const made = Object.assign(document.createElement(kind), set);
  made.setAttribute("aria-label", label);
  return made;
}

/** A cell as a sheet has it: quoted where it must be, and never a formula. @param {string} text */
function cell(text) {
  const safe = /^[=+\-@\t\r]/.test(text) ? `'${text}` : text;
  return /[",\r\n]/.test(safe) || safe !== safe.trim() ? `"${safe.replaceAll('"', '""')}"` : safe;
}

/** The lines that say something. @param {NodeListOf<HTMLTableRowElement>} rows */
function sheet(rows) {
  const now = new Date();
  const date = [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((part) => String(part).padStart(2, "0")).join("-");
  const lines = ["card,date,verdict,note"];
  for (const row of rows) {
    const name = row.querySelector("th bdi")?.textContent || "";
    const verdict = row.querySelector("select")?.value || "";
    const note = row.querySelector("input")?.value.trim() || "";
    if (verdict || note) lines.push([name, date, verdict || "fine", note].map(cell).join(","));
  }
  return lines;
}

/** @param {string} text */
function save(text) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([text], { type: "text/csv" }));
  link.download = "notes.csv";
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
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
    const lines = sheet(rows);
    said.textContent = lines.length > 1 ? `${lines.length - 1} ${lines.length === 2 ? "note" : "notes"} saved.` : "No card has a note yet.";
    if (lines.length > 1) save(lines.join("\r\n") + "\r\n");
    saved = lines.join("\n");
  });
  let saved = sheet(rows).join("\n");
  addEventListener("beforeunload", (event) => {
    if (sheet(rows).join("\n") !== saved) event.preventDefault();
  });
  bar.before(Object.assign(document.createElement("p"), { textContent: "How did a card play? What stands beside the cards is kept by this page only until it is closed: save it, and give the sheet to whoever keeps the pool." }));
  bar.append(button, " ", said);
}

begin();
