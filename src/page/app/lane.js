// What is asked of one engine, one question after the other.

/** What gives way to everything that somebody waits for. */
const BACKGROUND = "reasons";

/** One engine and what waits for it: only the newest question of each purpose is kept. */
export class Lane {
  /** @param {() => void} changed */
  constructor(changed) {
    /** @type {import("./types.js").Engine | null} */
    this.engine = null;
    /** @type {Map<string, {question: any, done: (answer: any) => void}>} */
    this.waiting = new Map();
    /** @type {string | null} what runs */
    this.running = null;
    this.since = 0;
    this.round = 0;
    /** @type {{question: any, done: (answer: any) => void} | null} */
    this.current = null;
    this.changed = changed;
  }

  /** @param {string} purpose @param {any} question @returns {Promise<any>} null where another one took its place or it was given up */
  ask(purpose, question) {
    return new Promise((done) => {
      const old = this.waiting.get(purpose);
      if (old) old.done(null);
      this.waiting.set(purpose, { question, done });
      if (purpose !== BACKGROUND && this.running === BACKGROUND) this.postpone();
      else this.next();
    });
  }

  /** Forgets what waits for this purpose. @param {string} purpose */
  forget(purpose) {
    const old = this.waiting.get(purpose);
    if (!old) return;
    this.waiting.delete(purpose);
    old.done(null);
  }

  async next() {
    if (!this.engine || this.running !== null || !this.waiting.size) return;
    const purposes = [...this.waiting.keys()];
    const purpose = purposes.find((one) => one !== BACKGROUND) ?? purposes[0];
    const { question, done } = (this.current = /** @type {any} */ (this.waiting.get(purpose)));
    this.waiting.delete(purpose);
    this.running = purpose;
    this.since = Date.now();
    const round = ++this.round;
    this.changed();
    let answer = null;
    try {
      answer = await this.engine.ask(question);
    } catch (problem) {
      answer = { error: [{ message: problem instanceof Error ? problem.message : String(problem) }] };
    }
    if (round !== this.round) {
      const again = [...this.waiting.values()].some((one) => one.done === done) || this.current?.done === done;
      return again ? undefined : done(null);
    }
    this.running = null;
    done(answer);
    this.changed();
    this.next();
  }

  /** What runs in the background makes way, and is asked again afterwards. */
  postpone() {
    const { engine, current } = this;
    if (!engine || !current) return;
    const newer = this.waiting.get(BACKGROUND);
    if (!newer) this.waiting.set(BACKGROUND, current);
    this.round++;
    this.running = null;
    engine.giveUp();
    this.changed();
    this.next();
  }

  giveUp() {
    if (this.running === null || !this.engine) return;
    this.round++;
    this.running = null;
    this.engine.giveUp();
    this.changed();
    this.next();
  }

  end() {
    if (this.engine) this.engine.end();
    this.engine = null;
    this.round++;
    this.running = null;
    for (const one of this.waiting.values()) one.done(null);
    this.waiting.clear();
  }
}
