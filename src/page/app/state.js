// What the page knows and shows: the scenario, the steps that were tried, what is looked at. Changed by steps.js and store.js, read by all views.
import { nothingAsked } from "./asked.js";
import { Lane } from "./lane.js";
import { folded } from "./numbers.js";
import { notesOf } from "./sources.js";
import { difference, poolOf } from "./tally.js";

/** @typedef {import("./types.js").Asked} Asked */
/** @typedef {import("./types.js").Answer} Answer */
/** @typedef {import("./types.js").Card} Card */
/** @typedef {import("./types.js").Step} Step */
/** @typedef {import("./types.js").Mark} Mark */
/** @typedef {import("./types.js").PageData} PageData */
/** @typedef {{fit?: number | null, bound?: number | null, effort?: number, what?: string | null, done?: number, of?: number}} Progress of a running question, in the user's units */
/** @typedef {(files: PageData["files"], main: string, progress: (now: Progress) => void) => Promise<import("./types.js").Engine>} StartEngine */

export class State {
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
    /** Whether the page is being printed: then parts stand open and tables are whole. */
    this.printing = false;
    /** Whether the running search was given up, and ends with what it had found. */
    this.ending = false;
    /** @type {Set<string>} paths of files that were dropped or changed here */
    this.dropped = new Set();
    /** @type {{name: string, content: any}[] | null} sheets without a scenario, to begin with */
    this.beginning = null;
    this.begun = 0; // how often sheets were given to begin with
    /** @type {string | null} the card that is looked at */
    this.looking = null;
    /** @type {Record<string, any>} answers beside the pool, by their questions */
    this.told = {};
    /** @type {any} */
    this.revision = null;
    this.data = data;
    /** The scenario as it was opened. */
    this.opened = worldOf(data.model, []);
    /** @type {Map<string, World>} what else the engine told, by what is asked of cards and themes */
    this.worlds = new Map();
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
  }

  /** Whether there is anything to show. */
  get empty() {
    return !this.data.best;
  }

  /** Takes what a page or an engine knows of a scenario. @param {PageData} data */
  open(data) {
    this.data = data;
    this.opened = worldOf(data.model, data.cards?.cards || []);
    this.worlds = new Map();
    if (!data.best) return;
    const first = { label: "as the scenario says", asked: nothingAsked(), answer: data.best, reasons: data.best.binding ? data.best : null, seats: data.seats || null };
    const tried = (data.history || []).map((step) => ({ reasons: null, answer: null, ...step, asked: { ...nothingAsked(), ...step.asked } }));
    this.steps = [first, ...tried];
    this.at = this.steps.length - 1;
    while (this.at > 0 && !this.steps[this.at].answer) this.at--;
    this.marks = { ...data.marks };
    this.kept = [...(data.kept || [])];
    this.revision = data.revise || null;
    this.told = {};
  }

  /** Notes from play that sheets hold. @param {import("./types.js").Cells[]} cells */
  readNotes(cells) {
    this.notes = notesOf(cells, this.opened.byFolded, this.data.model?.sheets).notes;
  }

  /** @param {() => void} listener */
  listen(listener) {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  changed() {
    for (const listener of this.listeners) listener();
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

  /** That step: another object for another state, whatever its number. */
  get shownStep() {
    return this.steps[this.shown];
  }

  /** @param {number} at */
  hasPool(at) {
    const answer = at < 0 ? null : this.steps[at].answer;
    return !!answer && !!answer.pool && answer.pool.length > 0;
  }

  /** The answer whose pool is on the screen, with reasons where they have come. */
  get answer() {
    const step = this.shownStep;
    return /** @type {Answer} */ (step.reasons || step.answer);
  }

  /** The shown pool, as a question names it. */
  get from() {
    return copiesOf(this.answer);
  }

  /** What the next new sheets are compared with. @returns {NonNullable<PageData["last"]>} */
  get present() {
    return { pool: this.from, prices: Object.fromEntries([...this.opened.cards.values()].map((card) => [card.name, card.price])) };
  }

  get pool() {
    return poolOf(this.answer.pool);
  }

  /** Whether any candidate has a price. */
  get priced() {
    return [...this.cards.values()].some((card) => card.price !== null);
  }

  /** Cards and model as the shown state has them: a case may bring other candidates, prices and weights. @returns {World} */
  get world() {
    return (this.steps.length && this.worlds.get(scaleOf(this.shownStep.asked))) || this.opened;
  }

  /** Whether fit means the same in two states: each card that both have has the same fit, and structure adds the same; undefined where that is not known yet. @param {Asked} a @param {Asked} b */
  sameFits(a, b) {
    if (scaleOf(a) === scaleOf(b)) return true;
    const [one, other] = [a, b].map((asked) => (scaleOf(asked) === scaleOf(nothingAsked()) ? this.opened : this.worlds.get(scaleOf(asked))));
    if (!one || !other) return undefined;
    if (JSON.stringify(one.model.forms) !== JSON.stringify(other.model.forms)) return false;
    return [...one.cards.values()].every((card) => (other.cards.get(card.name) ?? card).fit === card.fit);
  }

  get cards() {
    return this.world.cards;
  }

  get byFolded() {
    return this.world.byFolded;
  }

  get model() {
    return this.world.model;
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

  /** Whether something is being found out behind the pool. */
  get thinking() {
    return this.reasons.current !== null || this.reasons.waiting.size > 0;
  }

  get ready() {
    return !!this.pools.engine;
  }

  /** Whether a pool is being searched. */
  get busy() {
    return this.pools.running === "pool" || (this.ready && !this.step.answer && !this.step.problem);
  }

  /** @param {string | null} name */
  look(name) {
    this.looking = name;
    this.changed();
  }
}

/** @typedef {{model: PageData["model"], cards: Map<string, Card>, byFolded: Map<string, string>}} World the model; cards by name; names as they are compared */

/** @param {PageData["model"]} model @param {Card[]} cards @returns {World} */
export function worldOf(model, cards) {
  return { model, cards: new Map(cards.map((card) => [card.name, card])), byFolded: new Map(cards.map((card) => [folded(card.name), card.name])) };
}

/** Of what a state asks, that which changes the cards themselves or how fit is counted: the case, prices, powers, weights, engines, choices, places. @param {Asked} asked @returns {Asked} */
export function scaleAsked({ base, weights, values, parts }) {
  const counted = Object.fromEntries(["choose", "engines", "places"].flatMap((key) => (parts[key] ? [[key, parts[key]]] : [])));
  return { ...nothingAsked(), base, weights, values, parts: counted };
}

/** The same as a key. @param {Asked} asked */
export function scaleOf(asked) {
  const { base, weights, values, parts } = scaleAsked(asked);
  const sorted = (/** @type {Record<string, any>} */ said) => Object.entries(said).sort(([a], [b]) => (a < b ? -1 : 1));
  return JSON.stringify([base, sorted(weights), sorted(values).map(([name, { price, power }]) => [name, price, power]), parts]);
}

/** Cards in and out from one answer's pool to another's. @param {Answer} before @param {Answer} after */
export function moves(before, after) {
  return difference(poolOf(before.pool), poolOf(after.pool));
}

/** The pool of an answer, as a question names it. @param {Answer} answer */
export function copiesOf(answer) {
  return (answer.pool || []).map(({ name, copies }) => ({ name, copies: copies ?? 1 }));
}

/** @param {{copies: number}[]} cards */
export function sum(cards) {
  return cards.reduce((total, card) => total + card.copies, 0);
}
