// What is asked of one engine, one question after the other.

/** What gives way to everything that somebody waits for. */
const BACKGROUND = "reasons";

/** @typedef {{question: any, done: (answer: any) => void}} Waiting a question, and who waits for its answer */

/** One engine and what waits for it: only the newest question of each purpose is kept. */
export class Lane {
  /** @param {() => void} changed */
  constructor(changed) {
    /** @type {import("./types.js").Engine | null} */
    this.engine = null;
    /** @type {Map<string, Waiting>} by purpose */
    this.waiting = new Map();
    /** @type {{purpose: string, since: number, asked: Waiting} | null} what runs */
    this.current = null;
    this.changed = changed;
  }

  /** The purpose of what runs. */
  get running() {
    return this.current && this.current.purpose;
  }

  /** @param {string} purpose @param {any} question @returns {Promise<any>} null where another one took its place or it was given up */
  ask(purpose, question) {
    return new Promise((done) => {
      this.forget(purpose);
      this.waiting.set(purpose, { question, done });
      if (purpose !== BACKGROUND && this.running === BACKGROUND) this.postpone();
      else this.next();
    });
  }

  /** Forgets what waits for this purpose. @param {string} purpose */
  forget(purpose) {
    this.waiting.get(purpose)?.done(null);
    this.waiting.delete(purpose);
  }

  async next() {
    if (!this.engine || this.current || !this.waiting.size) return;
    const purposes = [...this.waiting.keys()];
    const purpose = purposes.find((one) => one !== BACKGROUND) ?? purposes[0];
    const asked = /** @type {Waiting} */ (this.waiting.get(purpose));
    this.waiting.delete(purpose);
    const current = (this.current = { purpose, since: Date.now(), asked });
    this.changed();
    let answer = null;
    try {
      answer = await this.engine.ask(asked.question);
    } catch (problem) {
      answer = { error: [{ message: problem instanceof Error ? problem.message : String(problem) }] };
    }
    if (this.current !== current) return; // it was stopped
    this.current = null;
    asked.done(answer);
    this.changed();
    this.next();
  }

  /** What runs in the background makes way, and is asked again afterwards, where no newer question took its place. */
  postpone() {
    const asked = this.stop();
    if (!asked) return;
    if (this.waiting.has(BACKGROUND)) asked.done(null);
    else this.waiting.set(BACKGROUND, asked);
    this.changed();
    this.next();
  }

  giveUp() {
    const asked = this.stop();
    if (!asked) return;
    asked.done(null);
    this.changed();
    this.next();
  }

  end() {
    this.engine?.end();
    this.engine = null;
    this.current?.asked.done(null);
    this.current = null;
    for (const purpose of [...this.waiting.keys()]) this.forget(purpose);
  }

  /** Ends what runs: its engine begins anew. What it was; null where nothing runs. */
  stop() {
    const { engine, current } = this;
    if (!engine || !current) return null;
    this.current = null;
    engine.giveUp();
    return current.asked;
  }
}
