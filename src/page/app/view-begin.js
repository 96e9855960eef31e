// The page without a scenario: a scenario's files are dropped, or sheets; what those hold is asked as `import` asks it, and a first pool chosen.
import { html, useEffect, useLayoutEffect, useState } from "../vendor/preact.js";
import { TOO_OLD, canOptimise } from "./engine.js";
import { count, listed, placeOf, problemWords } from "./numbers.js";
import { importerOf } from "./pieces.js";
import { DropField } from "./view-home.js";
import { More, NumberField, typed, useStore } from "./widgets.js";

/** @typedef {import("./types.js").Imported} Imported */
/** @typedef {import("./types.js").ImportQuestion} ImportQuestion */
/** @typedef {{name: string, content: any}} DroppedSheet */

/** Where the sheets lie in the page, and in the folder that it saves. */
const FOLDER = "scenarios/mine";

/** What stands on the page before there is a scenario. */
export function Begin() {
  const store = useStore();
  if (!store.startEngine) return html`<main><p>This page was written without the optimiser, and without a scenario: there is nothing to show.</p></main>`;
  if (!canOptimise()) return html`<main><p class="problem" role="alert">${TOO_OLD}</p></main>`;
  const sheets = store.beginning;
  useLayoutEffect(() => () => scrollTo(0, 0), []); // what comes instead begins at its top
  return html`<main><section aria-labelledby="begin"><h2 id="begin">Begin</h2>
    <p>Nothing leaves this machine: the optimiser is in this page. Give it your sheets (candidates, prices, owned cards, the present pool; .csv, .xlsx or .ods) as they are, or the folder of a scenario.
      It says what it takes them for, chooses a first pool, and saves all of it as a folder that the command line reads.</p>
    <${DropField} folder=${true} />
    ${sheets ? html`<${Questions} key=${store.begun} sheets=${sheets} />` : html`<${WithoutList} />`}</section></main>`;
}

/** No list yet: a first scenario with sample cards from a size, colours and themes, as `init` makes it. */
function WithoutList() {
  const store = useStore();
  const [size, setSize] = useState("360");
  const [colours, setColours] = useState("");
  const [themes, setThemes] = useState("");
  const [problem, tell] = useState("");
  const make = async (/** @type {Event} */ event) => {
    event.preventDefault();
    tell("");
    try {
      const importer = await importerOf({});
      const told = await importer.init({ size, colours, themes });
      importer.end();
      if (!told.files) return tell(problemWords(told.error || []));
      const files = Object.fromEntries(Object.entries(told.files).map(([name, text]) => [`${FOLDER}/${name}`, text]));
      await store.reopen({ ...store.data.files, ...files }, `${FOLDER}/scenario.yaml`, "a first scenario with sample cards: drop your own list as cards.csv once you have it");
    } catch (failed) {
      tell(failed instanceof Error ? failed.message : String(failed));
    }
  };
  return html`<${More} title="Or begin without a list: with sample cards"><form class="questions" onSubmit=${make}>
    <p><label>How many cards shall the pool have? <input type="number" min="20" max="5000" required value=${size} onInput=${typed(setSize)} /></label></p>
    <p><label>What are the colours called? <input required value=${colours} onInput=${typed(setColours)} /></label> <span class="quiet">with commas between: brass, glass, linen, tar</span></p>
    <p><label>What shall decks be built around? <input value=${themes} onInput=${typed(setThemes)} /></label> <span class="quiet">themes with their colours: convoys=brass+linen; lures=glass+tar; none at first, if you like</span></p>
    ${problem ? html`<p class="problem" role="alert">${problem}</p>` : null}
    <p><button type="submit">Make a first scenario</button> <span class="quiet">The numbers of its rules follow from size and colours; the sums stand beside them in model.yaml.</span></p></form></${More}>`;
}

/** What the sheets hold by these answers; null until that is known for the first time. fresh: by these very answers, and not by those before. @param {DroppedSheet[]} sheets @param {Record<string, string>} answers @param {string} cap @returns {{told: Imported | null, fresh: boolean}} */
function useImported(sheets, answers, cap) {
  const [importer, setImporter] = useState(/** @type {Promise<import("./types.js").Importer> | null} */ (null));
  const [last, tell] = useState(/** @type {{told: Imported, asked: string} | null} */ (null));
  useEffect(() => {
    const started = importerOf(Object.fromEntries(sheets.map((one) => [one.name, one.content])));
    setImporter(started);
    return () => void started.then((one) => one.end(), () => {});
  }, []);
  const asked = JSON.stringify({ files: sheets.map((one) => one.name), folder: ".", answers, ...(cap.trim() ? { cap: cap.trim() } : {}) });
  useEffect(() => {
    let current = true;
    importer?.then((one) => one.ask(JSON.parse(asked))).catch((problem) => ({ error: [{ message: String(problem) }] })).then((told) => current && tell({ told, asked }));
    return () => {
      current = false;
    };
  }, [importer, asked]);
  return { told: last && last.told, fresh: last?.asked === asked };
}

/** What the sheets were taken for, what is not sure of it, and the way to a first pool. @param {{sheets: DroppedSheet[]}} props */
function Questions({ sheets }) {
  const store = useStore();
  const [answers, setAnswers] = useState(/** @type {Record<string, string>} */ ({}));
  const [cap, setCap] = useState("");
  const { told, fresh } = useImported(sheets, answers, cap);
  const [wanted, want] = useState(false); // a pool was asked for before the last answer was looked at
  const [known, keep] = useState(/** @type {ImportQuestion[]} */ ([])); // an answer that does not do leaves its question there
  useEffect(() => {
    if (told?.questions) keep(told.questions);
  }, [told]);
  const set = (/** @type {string} */ id) => (/** @type {string} */ answer) => setAnswers({ ...answers, [id]: answer });
  useEffect(() => {
    if (!wanted || !fresh) return;
    want(false);
    if (!told?.model || !told.scenario) return;
    const files = { ...Object.fromEntries(sheets.map((one) => [`${FOLDER}/${one.name}`, one.content])), [`${FOLDER}/model.yaml`]: told.model, [`${FOLDER}/scenario.yaml`]: told.scenario };
    store.reopen({ ...store.data.files, ...files }, `${FOLDER}/scenario.yaml`, `a first scenario from ${listed(sheets.map((one) => one.name))}`);
  }, [wanted, fresh]);
  const begin = (/** @type {Event} */ event) => {
    event.preventDefault();
    want(true);
  };
  const open = known.filter((one) => !one.sure || one.id in answers);
  const sure = known.filter((one) => !open.includes(one));
  return html`<form class="questions" onSubmit=${begin}><h3>What the sheets hold</h3>
    ${told?.sheets ? html`<ul class="plain">${told.sheets.map((one) => html`<li>${one.path}: ${count(one.lines, "line")}, ${one.role === "none" ? "not used" : `read as ${one.role}`}</li>`)}</ul>` : null}
    ${told ? null : html`<p class="quiet" role="status">being looked at ...</p>`}
    ${told?.error ? html`<p class="problem" role="alert">${problemWords(told.error)}</p>` : null}
    ${open.map((one) => html`<${QuestionField} key=${one.id} question=${one} set=${set(one.id)} />`)}
    ${known.length ? html`<p><label>How much may be spent? <${NumberField} min="0" step="any" value=${cap} set=${setCap} /></label> <span class="quiet">nothing: as much as it takes</span></p>
      <${More} title=${`${count(sure.length, "more question")}, plainly answered: which file is what, what each column holds`}>${sure.map((one) => html`<${QuestionField} key=${one.id} question=${one} set=${set(one.id)} />`)}</${More}>` : null}
    <p><button type="submit" disabled=${!told?.model}>Choose a pool</button> <button type="button" onClick=${() => store.beginWith([])}>Begin anew</button> <span class="quiet">Limits can be changed and added one by one afterwards; all of it is saved as files that the command line reads.</span></p></form>`;
}

/** One question with its present answer. @param {{question: ImportQuestion, set: (answer: string) => void}} props */
function QuestionField({ question, set }) {
  const { text, answer, choices, examples, of } = question;
  const words = text.charAt(0).toUpperCase() + text.slice(1);
  return html`<p><label>${words} ${choices && choices.length
    ? html`<select value=${answer} onChange=${typed(set)}>${choices.map((one) => html`<option value=${one}>${one === "own" ? "own: a column of yours" : one}</option>`)}</select>`
    : html`<input value=${answer} onChange=${typed(set)} />`}</label> ${examples.length ? html`<span class="quiet">${of ? `${question.count} of ${of}: ` : ""}${examples.map((one) => `'${one.text}'${one.file ? ` (${placeOf(one)})` : ""}`).join(", ")}</span>` : null}</p>`;
}
