// The page's state: steps that were tried, what is running, what is looked at. Views read it and call what stands here.
import { nothingAsked, questionOf, withCard } from "./asked.js";
import { Lane } from "./lane.js";
import { count, folded, money, signed } from "./numbers.js";
import { notesOf, proposedPowers } from "./sources.js";
import { difference, poolOf } from "./tally.js";

/** @typedef {import("./types.js").Asked} Asked */
/** @typedef {import("./types.js").Answer} Answer */
/** @typedef {import("./types.js").Card} Card */
/** @typedef {import("./types.js").Step} Step */
/** @typedef {import("./types.js").Mark} Mark */
/** @typedef {import("./types.js").PageData} PageData */
/** @typedef {{fit?: number | null, bound?: number | null, effort?: number, what?: string | null, done?: number, of?: number}} Progress of a running question, in the user's units */
/** @typedef {(files: PageData["files"], main: string, progress: (now: Progress) => void) => Promise<import("./types.js").Engine>} StartEngine */

/** Steps of a search that was given up, at least: what loading takes. */
const LEAST_EFFORT = 3000;

export class Store {
  /** @param {PageData} data @param {StartEngine | null} startEngine null: the page was written without one */
  constructor(data, startEngine) {
    /** @type {Set<() => void>} */
    this.listeners = new Set();
    this.startEngine = startEngine;
    this.pools = new Lane(() => this.changed());
    this.reasons = new Lane(() => this.changed());
    this.say = "";
    this.problem = "";
    /** @type {{words: string, problem?: boolean} | null} what became of files that were dropped */
    this.intake = null;
    /** @type {Progress | null} of the running search */
    this.progress = null;
    /** @type {Progress | null} of the reasons that are being found */
    this.finding = null;
    this.poolProgress = (/** @type {Progress} */ now) => {
      this.progress = now;
      this.soon();
    };
    this.reasonProgress = (/** @type {Progress} */ now) => {
      this.finding = now;
      this.soon();
    };
    this.redraw = 0;
    /** Whether the running search was given up, and ends with what it had found. */
    this.ending = false;
    /** @type {Set<string>} paths of files that were dropped or changed here */
    this.dropped = new Set();
    /** @type {{name: string, content: any}[] | null} sheets without a scenario, to begin with */
    this.beginning = null;
    /** @type {string | null} the card that is looked at */
    this.looking = null;
    /** @type {Record<string, any>} answers about cards, by state and card */
    this.told = {};
    /** @type {any} */
    this.revision = null;
    this.data = data;
    this.model = data.model;
    /** @type {Map<string, Card>} */
    this.cards = new Map();
    /** @type {Map<string, string>} */
    this.byFolded = new Map();
    /** @type {Map<string, import("./sources.js").Note[]>} */
    this.notes = new Map();
    /** @type {Map<string, import("./sources.js").Note[]>} notes that a step has counted already */
    this.notesTried = new Map();
    /** @type {Step[]} */
    this.steps = [];
    this.at = 0;
    /** @type {Record<string, Mark>} */
    this.marks = {};
    /** @type {{name: string, asked: Asked, answer?: Answer | null}[]} */
    this.kept = [];
    this.open(data);
    this.notesTried = this.notes;
  }

  /** Whether there is anything to show. */
  get empty() {
    return !this.data.best;
  }

  /** Takes what a page or an engine knows of a scenario. @param {PageData} data */
  open(data) {
    this.data = data;
    this.model = data.model;
    if (!data.best) return;
    this.cards = new Map(data.cards.cards.map((card) => [card.name, card]));
    this.byFolded = new Map(data.cards.cards.map((card) => [folded(card.name), card.name]));
    this.notes = notesOf(data.files, this.byFolded);
    const start = { label: "as the scenario says", asked: nothingAsked(), answer: data.best, reasons: data.best.binding ? data.best : null, seats: data.seats || null };
    const tried = (data.history || []).map((step) => ({ reasons: null, answer: null, ...step, asked: { ...nothingAsked(), ...step.asked } }));
    this.steps = [start, ...tried];
    this.at = this.steps.length - 1;
    while (this.at > 0 && !this.steps[this.at].answer) this.at--;
    this.marks = { ...data.marks };
    this.kept = [...(data.kept || [])];
    this.revision = data.revise || null;
    this.told = {};
  }

  /** @param {() => void} listener */
  listen(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  changed() {
    for (const listener of this.listeners) listener();
  }

  /** Opens the engines with other files, and shows what they say; nothing changes where that fails. @param {PageData["files"]} files @param {string} main @param {string} words */
  async reopen(files, main, words) {
    if (!this.startEngine) {
      this.intake = { words: "This page was written without the optimiser, and cannot read sheets.", problem: true };
      return this.changed();
    }
    this.intake = { words: "being read ..." };
    this.changed();
    let engine = null;
    try {
      engine = await this.startEngine(files, main, this.poolProgress);
      const [model, cards, best] = [await engine.ask({ ask: "model" }), await engine.ask({ ask: "cards" }), await engine.ask({ ask: "best", explain: false })];
      const bad = [model, cards, best].find((answer) => answer.error);
      if (bad) throw new Error(problemWords(bad.error));
      if (!best.pool || !best.pool.length) throw new Error("no pool meets all limits with these files");
      this.adopt(engine, { files, main, model, cards, best });
      this.intake = { words: words || "read" };
      this.reasons.engine = await this.startEngine(files, main, this.reasonProgress);
      this.explain(0);
      this.reviseAgain();
    } catch (problem) {
      if (engine && engine !== this.pools.engine) engine.end();
      this.intake = { words: `Not taken: ${problem instanceof Error ? problem.message : problem}`, problem: true };
    }
    this.changed();
  }

  /** @param {import("./types.js").Engine} engine @param {any} fresh */
  adopt(engine, fresh) {
    const last = this.data.last || (this.empty ? undefined : { pool: [...this.pool].map(([name, copies]) => ({ name, copies })), date: "", prices: Object.fromEntries([...this.cards.values()].map((card) => [card.name, card.price])) });
    for (const path of Object.keys(fresh.files)) if (!this.data.files || this.data.files[path] !== fresh.files[path]) this.dropped.add(path);
    this.pools.end();
    this.reasons.end();
    this.pools.engine = engine;
    const history = this.empty ? [] : this.steps.slice(1).map((step) => ({ label: step.label, asked: step.asked }));
    this.open(/** @type {any} */ ({ words: this.data.words, ...fresh, history, marks: this.marks || {}, kept: this.kept || [], last }));
    this.marks = Object.fromEntries(Object.entries(this.marks).filter(([, mark]) => mark.mark !== "later"));
    this.at = 0;
    this.beginning = null;
  }

  /** What few swaps from the last pool bring now. */
  async reviseAgain() {
    const from = this.data.last?.pool;
    const answer = await this.reasons.ask("revise", { ask: "revise", swaps: 5, ...(from ? { from } : {}) });
    if (answer && !answer.error) this.revision = answer;
    this.changed();
  }

  /** Sheets without a scenario: what they are is asked first. @param {{name: string, content: any}[]} sheets */
  beginWith(sheets) {
    this.beginning = [...(this.beginning || []), ...sheets];
    this.changed();
  }

  /** Draws again a little later, however often it is called. */
  soon() {
    if (this.redraw) return;
    this.redraw = window.setTimeout(() => {
      this.redraw = 0;
      this.changed();
    }, 250);
  }

  /** What a screen reader is told. @param {string} text */
  tell(text) {
    this.say = text;
    this.changed();
  }

  get step() {
    return this.steps[this.at];
  }

  /** The newest step up to the present one that has a pool. */
  get shown() {
    for (let at = this.at; at > 0; at--) if (this.hasPool(at)) return at;
    return 0;
  }

  /** @param {number} at */
  hasPool(at) {
    const answer = at < 0 ? null : this.steps[at].answer;
    return !!answer && !!answer.pool && answer.pool.length > 0;
  }

  /** The answer whose pool is on the screen, with reasons where they have come. */
  get answer() {
    const step = this.steps[this.shown];
    return /** @type {Answer} */ (step.reasons || step.answer);
  }

  /** The shown pool, as a question names it. */
  get from() {
    return copiesOf(this.answer);
  }

  get pool() {
    return poolOf(/** @type {any} */ (this.answer.pool));
  }

  /** Whether any candidate has a price. */
  get priced() {
    return [...this.cards.values()].some((card) => card.price !== null);
  }

  /** The model with the weights that the shown state asks for. */
  get weighted() {
    const { weights } = this.steps[this.shown].asked;
    return { ...this.model, themes: this.model.themes.map((theme) => ({ ...theme, weight: weights[theme.name] ?? theme.weight })) };
  }

  /** The pool of the step before the one that is shown. */
  get before() {
    for (let at = this.shown - 1; at >= 0; at--) if (this.hasPool(at)) return this.steps[at];
    return null;
  }

  /** @param {string} text a card's name as typed */
  cardNamed(text) {
    const name = this.byFolded.get(folded(text));
    return name === undefined ? null : /** @type {Card} */ (this.cards.get(name));
  }

  /** Starts the engines; the pool's comes first. */
  async start() {
    if (!this.startEngine) return;
    try {
      this.pools.engine = await this.startEngine(this.data.files, this.data.main, this.poolProgress);
      this.changed();
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

  get ready() {
    return !!this.pools.engine;
  }

  /** Whether a pool is being searched. */
  get busy() {
    return this.pools.running === "pool" || (this.ready && !this.step.answer && !this.step.problem);
  }

  /** Changes are solved from what is known of the start: that is found out before the first one. */
  warm() {
    this.pools.ask("warm", { ask: "best", explain: false });
  }

  /**
   * A step: the state that is asked for is solved, and what came after the present step is forgotten.
   * @param {string} label @param {Asked} asked @param {string} [kind] while a step of this kind is not solved yet, the new one takes its place
   */
  attempt(label, asked, kind) {
    const replaces = kind !== undefined && this.at > 0 && this.step.kind === kind && !this.step.answer && !this.step.problem;
    this.steps = [...this.steps.slice(0, replaces ? this.at : this.at + 1), { label, asked, answer: null, reasons: null, kind }];
    this.at = this.steps.length - 1;
    return this.solve(this.at);
  }

  /** @param {number} at @param {number} [effort] after which what was found is kept */
  async solve(at, effort) {
    const step = this.steps[at];
    this.problem = "";
    this.ending = effort !== undefined;
    this.progress = null;
    this.forgetPools();
    this.reasons.forget("reasons");
    const from = this.hasPool(at - 1) ? /** @type {Answer} */ (this.steps[at - 1].answer) : this.answer;
    this.changed();
    const question = { ask: "best", ...questionOf(step.asked), explain: false, ...(effort ? { effort } : {}) };
    const answer = await this.pools.ask("pool", question);
    if (!answer) return;
    this.progress = null;
    this.ending = false;
    if (answer.error) step.problem = problemWords(answer.error);
    else step.answer = answer;
    this.tell(this.stepWords(step));
    if (!step.answer || step !== this.step) return;
    this.explain(at);
    if (!effort && this.hasPool(at) && sum(moves(from, step.answer).enters) > 1) this.findNearest(step, question, copiesOf(from));
  }

  /** What is waiting of a step that is left. */
  forgetPools() {
    this.pools.forget("pool");
    this.pools.forget("nearest");
  }

  /** The fewest changes that lead to a step's fit: they take about as long as its pool, which is shown before. @param {Step} step @param {any} question @param {import("./types.js").Copies[]} from */
  async findNearest(step, question, from) {
    const answer = await this.pools.ask("nearest", { ...question, from });
    if (answer && answer.nearest && step.answer) step.answer.nearest = answer.nearest;
    this.changed();
  }

  /** What seats see of the shown pool, as far as it is known. */
  get seats() {
    return this.steps[this.shown].seats;
  }

  /** Asks what seats see of a step's pool, which is soon told. @param {number} at */
  async see(at) {
    const step = this.steps[at];
    if (step.seats || !this.model.seats || !this.hasPool(at)) return;
    const seats = await this.reasons.ask("seats", { ask: "seats", ...questionOf(step.asked), from: copiesOf(/** @type {Answer} */ (step.answer)) });
    if (seats) step.seats = seats;
    this.changed();
  }

  /** Asks what seats see of a step's pool, then for its reasons, in the background. @param {number} at */
  async explain(at) {
    const step = this.steps[at];
    if (!step.answer) return;
    if (!step.reasons && this.reasons.running === "reasons") this.reasons.giveUp();
    await this.see(at);
    if (step.reasons || step !== this.step || step.answer.status === "stopped") return;
    const answer = await this.reasons.ask("reasons", { ask: "best", ...questionOf(step.asked), explain: true });
    this.finding = null;
    if (answer && !answer.error) step.reasons = answer;
    this.changed();
  }

  /** One line on what a step brought. @param {Step} step */
  stepWords(step) {
    if (step.problem) return `This cannot be asked: ${step.problem}`;
    if (!step.answer) return "Being solved ...";
    if (!step.answer.pool || !step.answer.pool.length) return step.answer.status === "infeasible" ? "No pool meets all limits." : "No pool was found before the search ended; there may be one.";
    const before = this.before;
    const words = [`fit ${step.answer.fit}`];
    if (before && before.answer) {
      const moved = step.answer.nearest || moves(before.answer, step.answer);
      words[0] += sameScale(step.asked, before.asked) ? ` (${signed((step.answer.fit || 0) - (before.answer.fit || 0))})` : " (counted in another way than before)";
      words.push(`${count(sum(moved.enters), "card")} in, ${sum(moved.leaves)} out`);
    }
    words.push(`${money(step.answer.cost)} to buy`);
    if (step.answer.status === "stopped") words.push("ended early, not proven: there may be a better pool");
    return words.join(", ");
  }

  undo() {
    if (this.at > 0) this.goTo(this.at - 1);
  }

  redo() {
    if (this.at + 1 < this.steps.length) this.goTo(this.at + 1);
  }

  /** @param {number} at */
  goTo(at) {
    this.at = at;
    this.forgetPools();
    if (!this.step.answer && !this.step.problem) this.solve(at);
    else if (this.ready) this.explain(at);
    this.tell(at ? `Step ${at}: ${this.step.label}. ${this.stepWords(this.step)}` : "The start.");
  }

  /**
   * Ends what is being searched. Where a pool was found, the step keeps one: a new worker searches as long as the old one
   * had until then, and no longer, so that the same effort gives the same pool. Else the step is taken back.
   */
  giveUp() {
    const { step, at, progress, ending } = this;
    const searched = this.busy && at > 0 && !step.answer;
    const effort = searched && !ending && this.pools.running === "pool" && typeof progress?.fit === "number" ? Math.max(LEAST_EFFORT, progress.effort || 0) : 0;
    this.progress = null;
    this.forgetPools();
    if (this.pools.running === "pool") this.pools.giveUp();
    this.reasons.giveUp();
    if (effort) return this.solve(at, effort);
    if (searched) {
      this.steps = this.steps.slice(0, at);
      this.at--;
    }
    this.tell(searched ? "Given up: no pool was found, and nothing is kept." : "Given up.");
  }

  /** Asks beside the pool: why, swap, count and the like; answers are kept by state. @param {string} purpose @param {any} question */
  async beside(purpose, question) {
    const key = `${JSON.stringify(this.steps[this.shown].asked)}|${JSON.stringify(question)}`;
    if (this.told[key]) return this.told[key];
    const answer = await this.reasons.ask(purpose, { ...question, ...questionOf(this.steps[this.shown].asked) });
    if (answer && !answer.error) this.told[key] = answer;
    return answer;
  }

  /** @param {string | null} name */
  look(name) {
    this.looking = name;
    this.changed();
  }

  /** @param {string} key @param {Mark | null} mark */
  mark(key, mark) {
    const marks = { ...this.marks };
    if (mark) marks[key] = mark;
    else delete marks[key];
    this.marks = marks;
    this.changed();
  }

  /** Never this swap: what would enter is banned, with the reason remembered. @param {import("./swaps.js").Swap} swap @param {string} because */
  refuse(swap, because) {
    this.mark(`${swap.enter} for ${swap.leave}`, { mark: "never", because });
    if (this.ready) this.attempt(`never ${swap.enter}, because ${because}`, withCard(this.step.asked, swap.enter, "ban"));
  }

  /** The powers that notes from play propose, as a step; notes that were there before are not counted again. */
  tryNotes() {
    const fresh = new Map([...this.notes].filter(([name, list]) => JSON.stringify(list) !== JSON.stringify(this.notesTried.get(name))));
    this.notesTried = this.notes;
    const values = proposedPowers(fresh, this.cards, this.model.unscored ?? 0);
    if (Object.keys(values).length) this.attempt(`new powers by notes on ${count(fresh.size, "card")}`, { ...this.step.asked, values: { ...this.step.asked.values, ...values } });
  }

  /** Keeps the present state as a case. @param {string} name */
  keepAsCase(name) {
    this.kept = [...this.kept.filter((one) => one.name !== name), { name, asked: this.step.asked, answer: this.answer }];
    this.tell(`Kept as the case ${name}.`);
  }
}

/** Whether fit means the same in two states: the same weights, powers and case. @param {Asked} a @param {Asked} b */
export function sameScale(a, b) {
  const scale = (/** @type {Asked} */ asked) => JSON.stringify([asked.base, Object.entries(asked.weights).sort(), Object.entries(asked.values).filter(([, one]) => one.power !== undefined).map(([name, one]) => [name, one.power]).sort()]);
  return scale(a) === scale(b);
}

/** Cards in and out from one answer's pool to another's. @param {Answer} before @param {Answer} after */
export function moves(before, after) {
  return difference(poolOf(/** @type {any} */ (before.pool)), poolOf(/** @type {any} */ (after.pool)));
}

/** The pool of an answer, as a question names it. @param {Answer} answer */
function copiesOf(answer) {
  return (answer.pool || []).map(({ name, copies }) => ({ name, copies: copies ?? 1 }));
}

/** @param {{copies: number}[]} cards */
export function sum(cards) {
  return cards.reduce((total, card) => total + card.copies, 0);
}

/** @param {{message: string, file?: string, line?: number}[]} problems */
export function problemWords(problems) {
  return problems.map((one) => `${one.file ? `${one.file}${one.line ? `:${one.line}` : ""}: ` : ""}${one.message}`).join(" ");
}
