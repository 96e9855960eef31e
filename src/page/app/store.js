// The page's store: engines started, other files opened, notes tried, swaps decided, states kept as cases.
import { withCard } from "./asked.js";
import { count, problemWords } from "./numbers.js";
import { allCells, proposedPowers } from "./sources.js";
import { Steps } from "./steps.js";
import { keyOf } from "./swaps.js";

/** @typedef {import("./types.js").Mark} Mark */
/** @typedef {import("./types.js").PageData} PageData */
/** @typedef {import("./types.js").Engine} Engine */

export class Store extends Steps {
  /** @param {PageData} data @param {import("./state.js").StartEngine | null} startEngine */
  constructor(data, startEngine) {
    super(data, startEngine);
    this.savedDecisions = this.decided;
  }

  /** Starts the engines; the pool's comes first. */
  async start() {
    if (!this.startEngine) return;
    try {
      this.pools.engine = await this.startEngine(this.data.files, this.data.main, this.poolProgress);
      this.changed();
      await this.readNotesOfPage(this.pools.engine);
      this.pools.next();
      this.warm();
      this.reasons.engine = await this.startEngine(this.data.files, this.data.main, this.reasonProgress);
      this.reasons.next();
      if (!this.step.answer && !this.step.problem) this.solve(this.at);
      else this.explain(this.at);
    } catch (problem) {
      this.problem = `Trying things out is not possible here: ${problem instanceof Error ? problem.message : problem}`;
    }
    this.changed();
  }

  /** Notes that the page was opened with are no news. @param {Engine} engine */
  async readNotesOfPage(engine) {
    this.readNotes(await allCells(this.data.files, engine));
    this.notesTried = this.notes;
  }

  /** Changes are solved from what is known of the start: that is found out before the first one. */
  warm() {
    this.pools.ask("warm", { ask: "best", explain: false });
  }

  /** Opens the engines with other files, and shows what they say; nothing changes where that fails. @param {PageData["files"]} files @param {string} main @param {string} words */
  async reopen(files, main, words) {
    if (!this.startEngine) return;
    this.tellIntake("being read ...");
    let engine = null;
    try {
      engine = await this.startEngine(files, main, this.poolProgress);
      const [model, cards, best] = [await engine.ask({ ask: "model" }), await engine.ask({ ask: "cards" }), await engine.ask({ ask: "best", explain: false })];
      const bad = [model, cards, best].find((answer) => answer.error);
      if (bad) throw new Error(problemWords(bad.error));
      const sheets = await allCells(files, engine);
      const begun = this.empty;
      this.adopt(engine, { files, main, model, cards, best });
      if (begun) this.tell(`Opened: ${this.stepWords(this.step)}`);
      this.readNotes(sheets);
      this.tellIntake(words || "read");
      this.reasons.engine = await this.startEngine(files, main, this.reasonProgress);
      this.explain(0);
      this.reviseAgain(this.data.last?.pool);
    } catch (problem) {
      if (engine && engine !== this.pools.engine) engine.end();
      this.tellIntake(`Not taken: ${problem instanceof Error ? problem.message : problem}`, true);
    }
    this.changed();
  }

  /** What became of files that were dropped. @param {string} words @param {boolean} [problem] */
  tellIntake(words, problem) {
    this.intake = { words, problem };
    this.changed();
  }

  /** @param {import("./types.js").Engine} engine @param {any} fresh */
  adopt(engine, fresh) {
    const last = this.data.last || (this.empty ? undefined : this.present);
    for (const path of Object.keys(fresh.files)) if (this.data.files[path] !== fresh.files[path]) this.dropped.add(path);
    const present = () => JSON.stringify([...this.opened.cards.values()].flatMap((card) => (card.present ? [[card.name, card.present]] : [])));
    const old = present();
    this.pools.end();
    this.reasons.end();
    this.pools.engine = engine;
    const history = this.empty ? [] : this.steps.slice(1).map((step) => ({ label: step.label, asked: step.asked }));
    this.open(/** @type {any} */ ({ words: this.data.words, ...fresh, history, marks: this.marks, kept: this.kept.map(({ name, asked }) => ({ name, asked })), last }));
    this.marks = Object.fromEntries(Object.entries(this.marks).filter(([, mark]) => mark.mark !== "later"));
    if (this.model.present && present() !== old) this.data.last = undefined; // a new list of what is played with: that is the last pool now
    this.at = 0;
    this.beginning = null;
  }

  /** What few swaps bring now, without those that were put aside. @param {import("./types.js").Copies[] | undefined} from the pool that they are of; none: the present one */
  async reviseAgain(from) {
    const ban = Object.values(this.marks).flatMap((mark) => (mark.mark !== "taken" && mark.swap ? [mark.swap.enter] : []));
    const answer = await this.reasons.ask("revise", { ask: "revise", swaps: 5, ...(from ? { from } : {}), ...(ban.length ? { change: { ban } } : {}) });
    if (answer && !answer.error) this.revision = { ...answer, from };
    this.changed();
  }

  /** Sheets without a scenario: what they are is asked first. One with the name of an older one takes its place. None: begins anew. @param {{name: string, content: any}[]} sheets */
  beginWith(sheets) {
    const fresh = new Set(sheets.map((one) => one.name));
    this.beginning = sheets.length ? [...(this.beginning || []).filter((one) => !fresh.has(one.name)), ...sheets] : null;
    this.begun++;
    this.intake = null;
    this.changed();
  }

  /** @param {string} key @param {Mark | null} mark */
  mark(key, mark) {
    const marks = { ...this.marks };
    if (mark) marks[key] = mark;
    else delete marks[key];
    const aside = [this.marks[key], mark].some((one) => one && one.mark !== "taken");
    this.marks = marks;
    this.changed();
    if (aside && this.ready) this.reviseAgain(this.revision?.from);
  }

  /** Never this swap: what would enter is banned, with the reason remembered. @param {import("./swaps.js").Swap} swap @param {string} because */
  refuse(swap, because) {
    this.mark(keyOf(swap), { mark: "never", because, swap: { enter: swap.enter, leave: swap.leave } });
    if (this.ready) this.attempt(`never ${swap.enter}, because ${because}`, withCard(this.step.asked, swap.enter, "ban"));
  }

  /** The powers that notes from play propose, as a step; notes that were there before are not counted again. */
  tryNotes() {
    const fresh = new Map([...this.notes].filter(([name, list]) => JSON.stringify(list) !== JSON.stringify(this.notesTried.get(name))));
    this.notesTried = this.notes;
    const values = proposedPowers(fresh, this.cards, this.model.unscored ?? 0);
    if (Object.keys(values).length) this.attempt(`new powers of ${count(Object.keys(values).length, "card")}, by notes`, { ...this.step.asked, values: { ...this.step.asked.values, ...values } });
  }

  /** What was decided here and is nowhere else until it is saved: marks, cases, sheets that were dropped. */
  get decided() {
    return JSON.stringify([this.marks, this.kept.map(({ name, asked }) => ({ name, asked })), [...this.dropped].sort().map((path) => [path, this.data.files[path]])]);
  }

  /** Whether closing the page loses something that somebody decided. */
  get unsaved() {
    return !this.empty && this.decided !== this.savedDecisions;
  }

  /** All of it was handed out. */
  saved() {
    this.savedDecisions = this.decided;
  }

  /** Keeps the present state as a case. @param {string} name */
  keepAsCase(name) {
    this.kept = [...this.kept.filter((one) => one.name !== name), { name, asked: this.step.asked, answer: this.step.reasons || this.step.answer }];
    this.tell(`Kept as the case ${name}.`);
  }
}
