// The page without a scenario: a scenario's files are dropped, or sheets of candidates and a few questions answered.
import { html, useState } from "../vendor/preact.js";
import { count, folded, listed } from "./numbers.js";
import { coloursOf } from "./tally.js";
import { DropField } from "./view-home.js";
import { typed, useStore } from "./widgets.js";
import { readSheet, yaml } from "./write.js";

/** What stands on the page before there is a scenario. */
export function Begin() {
  const store = useStore();
  if (!store.startEngine) return html`<main><p>This page was written without the optimiser, and without a scenario: there is nothing to show.</p></main>`;
  return html`<main><section aria-labelledby="begin"><h2 id="begin">Begin</h2>
    <p>Nothing leaves this machine: the optimiser is in this page. Give it the files of a scenario (scenario.yaml, its model and sheets), or one or more sheets with a line for each card: at least its name and colours.</p>
    <${DropField} folder=${true} />
    ${store.beginning ? html`<${Questions} sheets=${store.beginning} />` : null}</section></main>`;
}

/** A first model from a few numbers. @param {{sheets: {name: string, content: any}[]}} props */
function Questions({ sheets }) {
  const store = useStore();
  const found = foundIn(sheets);
  const [size, setSize] = useState(String(Math.max(1, Math.min(360, found.cards))));
  const [cap, setCap] = useState("");
  const [colours, setColours] = useState(found.colours.join(", "));
  const [themes, setThemes] = useState("");
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    const names = split(colours);
    const files = { ...store.data.files, ...Object.fromEntries(sheets.map((one) => [`scenarios/mine/${one.name}`, one.content])) };
    files["scenarios/mine/model.yaml"] = firstModel({ size: Number(size), cap, colours: names, themes: split(themes, ";") });
    files["scenarios/mine/scenario.yaml"] = `model: model.yaml\ncards: ${yaml(sheets.map((one) => one.name))}\n`;
    store.reopen(files, "scenarios/mine/scenario.yaml", `a first scenario from ${listed(sheets.map((one) => one.name))}`);
  };
  return html`<form class="questions" onSubmit=${submit}><h3>${count(found.cards, "line")} in ${listed(sheets.map((one) => one.name))}</h3>
    <p><label>How many cards shall the pool have? <input type="number" min="1" max="100000" required value=${size} onInput=${typed(setSize)} /></label></p>
    <p><label>How much may be spent? <input type="number" min="0" step="any" value=${cap} onInput=${typed(setCap)} /></label> <span class="quiet">nothing: as much as it takes</span></p>
    <p><label>The colours, with commas between <input required value=${colours} onInput=${typed(setColours)} /></label></p>
    <p><label>Themes, each with its colours <input value=${themes} placeholder="convoys=brass+linen; bells=brass" onInput=${typed(setThemes)} /></label></p>
    <p><button type="submit">Choose a pool</button> <span class="quiet">Limits can be added one by one afterwards; all of it is saved as files that the command line reads.</span></p></form>`;
}

/** @param {string} text @param {string} [sign] */
function split(text, sign = ",") {
  return text.split(sign).map((one) => one.trim()).filter(Boolean);
}

/** Lines and colours of sheets. @param {{content: any}[]} sheets */
function foundIn(sheets) {
  /** @type {Set<string>} */
  const colours = new Set();
  let cards = 0;
  for (const { content } of sheets) {
    if (typeof content !== "string") continue;
    const [header = [], ...rows] = readSheet(content);
    const at = header.findIndex((cell) => ["colours", "colors", "colour", "color"].includes(folded(cell)));
    cards += rows.length;
    for (const row of rows) for (const colour of coloursOf((row[at] || "").trim())) if (colour.trim()) colours.add(colour.trim());
  }
  return { cards, colours: [...colours].sort().slice(0, 16) };
}

/** A model with equal colours: a band for each, so that none is forgotten. @param {{size: number, cap: string, colours: string[], themes: string[]}} answers */
export function firstModel({ size, cap, colours, themes }) {
  const each = Math.floor((size * 0.7) / Math.max(1, colours.length));
  const lines = [`size: ${size}`];
  if (cap !== "") lines.push(`spending_cap: ${Number(cap).toFixed(2)}`);
  lines.push(`colours: ${yaml(colours)}`, "unpriced: skip");
  if (themes.length) {
    lines.push("themes:");
    for (const theme of themes) {
      const [name, where] = theme.split("=").map((one) => one.trim());
      lines.push(`  - ${yaml({ name, ...(where ? { colours: where } : {}) })}`);
    }
  }
  if (colours.length > 1) lines.push("rules:", `  # Seven in ten cards are of one colour, shared out evenly, give or take a tenth of the pool: soft, so that any list of cards has a pool.`, `  - {name: mono cards, each: colour, where: {class: mono}, between: [${Math.max(0, each - Math.ceil(size / 10))}, ${each + Math.ceil(size / 10)}], soft: 5}`);
  return lines.join("\n") + "\n";
}
