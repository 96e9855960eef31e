// Trying: each step is a whole state, solved at once, explained behind it; undone and redone.
import { nothingAsked, questionOf } from "./asked.js";
import { count, money, problemWords, signed } from "./numbers.js";
import { copiesOf, moves, scaleAsked, scaleOf, State, sum, worldOf } from "./state.js";

/** @typedef {import("./types.js").Asked} Asked */
/** @typedef {import("./types.js").Answer} Answer */
/** @typedef {import("./types.js").Step} Step */

/** Steps of a search that was given up, at least: what loading takes. */
const LEAST_EFFORT = 3000;

export class Steps extends State {
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
    if (!answer.error) await this.meet(step.asked);
    this.progress = null;
    this.ending = false;
    step.effort = effort;
    if (answer.error) step.problem = problemWords(answer.error);
    else this.answered(step, answer);
    this.tell(this.stepWords(step));
    if (!step.answer || step !== this.step) return;
    this.explain(at);
    const { enters, leaves } = moves(from, step.answer);
    if (!effort && this.hasPool(at) && enters.length + leaves.length > 0) this.findNearest(step, question, copiesOf(from));
  }

  /** Cases that were kept of the same state have the answer too. @param {Step} step @param {Answer} answer */
  answered(step, answer) {
    step.answer = answer;
    this.kept = this.kept.map((one) => (one.asked === step.asked ? { ...one, answer } : one));
  }

  /** Asks what cards and themes are in a state that says other things of them; without its answer they are those of the start. @param {Asked} asked */
  async meet(asked) {
    const scale = scaleOf(asked);
    const told = scaleAsked(asked);
    if (scale === scaleOf(nothingAsked()) || this.worlds.has(scale)) return;
    const cards = await this.pools.ask("cards", { ask: "cards", ...questionOf(told) });
    const model = cards && (await this.pools.ask("model", { ask: "model", ...questionOf(told) }));
    if (cards?.cards && model && !model.error) this.worlds.set(scale, worldOf(model, cards.cards));
    this.changed();
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
    return this.shownStep.seats;
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
    await this.meet(step.asked);
    if (this.before) await this.meet(this.before.asked);
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
      const same = this.sameFits(step.asked, before.asked);
      words[0] += same ? ` (${signed((step.answer.fit || 0) - (before.answer.fit || 0))})` : same === false ? " (counted in another way than before)" : "";
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

  /** A file that `best` would write of the shown pool, as text or bytes; null where it cannot be had, which is told. @param {string} name @returns {Promise<string | {base64: string} | null>} */
  async fileOf(name) {
    const step = this.shownStep;
    const answer = await this.pools.ask("file", { ask: "best", ...questionOf(step.asked), explain: false, files: true, ...(step.effort ? { effort: step.effort } : {}) });
    const same = answer && answer.pool && moves(/** @type {Answer} */ (step.answer), answer).enters.length === 0;
    if (same && answer.files) return answer.files[name];
    this.tell(!answer ? "Given up: nothing was saved." : answer.error ? `Not saved: ${problemWords(answer.error)}` : "Not saved: the search ended with another pool; try again.");
    return null;
  }

  /** Asks of the shown state beside its pool: why, swap, count and the like; answers are kept. @param {{ask: string} & Record<string, any>} about */
  async beside(about) {
    const question = { ...about, ...questionOf(this.shownStep.asked) };
    const key = JSON.stringify(question);
    if (this.told[key]) return this.told[key];
    const answer = await this.reasons.ask(about.ask, question);
    if (answer && !answer.error) this.told[key] = answer;
    return answer;
  }
}
