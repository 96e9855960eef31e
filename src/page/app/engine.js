// The optimiser in a worker: WebAssembly that holds one loaded scenario and answers questions about it (docs/ask.md).
import { problemWords } from "./numbers.js";

/**
 * @typedef {object} Pieces
 * @property {string} wasm gzipped WebAssembly as base64
 * @property {string} glue the script that starts it
 * @property {Record<string, string | {base64: string}>} files by their paths
 * @property {string} main path of the scenario
 * @property {(now: Progress) => void} [progress] told while a question is being answered
 *
 * @typedef {import("./state.js").Progress} Progress
 *
 * @typedef {object} Running what is asked of a worker
 * @property {(answer: any) => void} done
 * @property {(problem: Error) => void} failed
 */

/** @param {string} text @returns {Uint8Array} */
export function bytesFromBase64(text) {
  const found = atob(text.trim());
  const bytes = new Uint8Array(found.length);
  for (let at = 0; at < found.length; at++) bytes[at] = found.charCodeAt(at);
  return bytes;
}

export const TOO_OLD = "This browser is too old for the optimiser: it takes Chrome or Edge 93, Firefox 113 or Safari 16.4, or a later one.";

/** A module of one function with vectors. */
const VECTORS = Uint8Array.of(0, 97, 115, 109, 1, 0, 0, 0, 1, 5, 1, 96, 0, 1, 123, 3, 2, 1, 0, 10, 10, 1, 8, 0, 65, 0, 253, 15, 253, 98, 11);

/** Whether this browser has what the optimiser takes. */
export function canOptimise() {
  return typeof DecompressionStream === "function" && typeof Worker === "function" && typeof WebAssembly === "object" && WebAssembly.validate(VECTORS);
}

/** @param {string} base64 gzipped WebAssembly @returns {Promise<WebAssembly.Module>} */
async function compiled(base64) {
  if (!canOptimise()) throw new Error(TOO_OLD);
  const bytes = /** @type {BlobPart} */ (bytesFromBase64(base64));
  const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(plain).arrayBuffer());
}

/** What the worker does besides the glue. It stands alone: its text is sent to the worker. */
function workerSide() {
  /** @type {any} the worker's own global object, with poolwrightEngine from the glue */
  const scope = self;
  /** @type {any} */
  let engine = null;
  let told = 0;

  /** @param {any} now */
  const tell = (now) => {
    const time = performance.now();
    if (time - told < 100) return;
    told = time;
    const known = (/** @type {number} */ value) => (Number.isNaN(value) ? null : value / 1000);
    scope.postMessage({ progress: { ...now, fit: known(now.fit), bound: known(now.bound) } });
  };

  /** @param {string} path @param {Uint8Array | string} data */
  const put = (path, data) => {
    const place = `/pool/${path}`;
    engine.FS.mkdirTree(place.slice(0, place.lastIndexOf("/")));
    engine.FS.writeFile(place, data);
  };

  /** One of the calls of engine.c, which take and give text. @param {string} name @param {string} text */
  const call = (name, text) => {
    const length = engine.lengthBytesUTF8(text) + 1;
    const at = engine._malloc(length);
    if (!at) throw new Error("out of memory");
    engine.stringToUTF8(text, at, length);
    const answer = engine.UTF8ToString(engine[`_engine_${name}`](at));
    engine._free(at);
    return answer;
  };

  /** @param {{module: WebAssembly.Module, files: Record<string, Uint8Array | string>, main: string | null}} what main null: nothing is opened */
  const open = async ({ module, files, main }) => {
    engine = await scope.poolwrightEngine({
      instantiateWasm: (/** @type {any} */ imports, /** @type {any} */ done) => {
        WebAssembly.instantiate(module, imports).then((instance) => done(instance, module));
        return {};
      },
      print: () => {},
      printErr: () => {},
      told: tell,
    });
    engine.FS.mkdirTree("/pool");
    engine.FS.chdir("/pool");
    for (const [path, data] of Object.entries(files)) put(path, data);
    return main === null ? "{}" : call("open", main);
  };

  scope.onmessage = async (/** @type {MessageEvent} */ { data }) => {
    try {
      scope.postMessage({ answer: data.open ? await open(data.open) : call(data.call, data.text) });
    } catch (problem) {
      scope.postMessage({ failed: String(problem instanceof Error ? problem.message : problem) });
    }
  };
}

/** One worker: its questions one after the other. */
class Worked {
  /** @param {string} address of the worker's script */
  constructor(address) {
    this.worker = new Worker(address);
    /** @type {Running[]} */
    this.running = [];
    /** @type {((now: Progress) => void) | undefined} */
    this.progress = undefined;
    this.worker.onmessage = ({ data }) => {
      if (data.progress) return this.progress?.(data.progress);
      if ("failed" in data) return this.end(data.failed);
      this.running.shift()?.done(JSON.parse(data.answer));
    };
    this.worker.onerror = (event) => this.end(event.message || "the optimiser stopped");
    this.worker.onmessageerror = () => this.end("the optimiser stopped");
  }

  /** @param {any} message @returns {Promise<any>} */
  send(message) {
    return new Promise((done, failed) => {
      this.running.push({ done, failed });
      this.worker.postMessage(message);
    });
  }

  /** Whatever is being asked fails with these words. @param {string} words */
  end(words) {
    this.worker.terminate();
    for (const one of this.running.splice(0)) one.failed(new Error(words));
  }
}

/** @param {Record<string, string | {base64: string}>} files */
function fileBytes(files) {
  return Object.fromEntries(Object.entries(files).map(([path, data]) => [path, typeof data === "string" ? data : bytesFromBase64(data.base64)]));
}

/** @type {Map<string, Promise<WebAssembly.Module>>} by its text: compiled once for all workers */
const compiledOnce = new Map();

/** What a worker begins with. @param {string} wasm @param {string} glue */
async function prepared(wasm, glue) {
  let module = compiledOnce.get(wasm);
  if (!module) compiledOnce.set(wasm, (module = compiled(wasm)));
  return { module: await module, address: URL.createObjectURL(new Blob([glue, `\n(${workerSide})();\n`], { type: "text/javascript" })) };
}

/**
 * A worker without a scenario, which says what sheets hold and what a first model of them would be (ask_import).
 * @param {Omit<Pieces, "main">} pieces @returns {Promise<import("./types.js").Importer>}
 */
export async function startImporter({ wasm, glue, files }) {
  const { module, address } = await prepared(wasm, glue);
  const worked = new Worked(address);
  await worked.send({ open: { module, files: fileBytes(files), main: null } });
  return {
    ask: (question) => worked.send({ call: "import", text: JSON.stringify(question) }),
    init: (question) => worked.send({ call: "init", text: JSON.stringify(question) }),
    sheets: (path) => worked.send({ call: "sheets", text: path }),
    end() {
      worked.end("ended");
      URL.revokeObjectURL(address);
    },
  };
}

/**
 * Opens the scenario in a worker of its own. Fails where the scenario cannot be read.
 * A question that is given up fails; the next one is answered by a new worker, which opens the scenario again.
 * @param {Pieces} pieces @returns {Promise<import("./types.js").Engine>}
 */
export async function startEngine({ wasm, glue, files, main, progress }) {
  const { module: ready, address } = await prepared(wasm, glue);
  const bytes = fileBytes(files);
  const begin = async () => {
    const one = new Worked(address);
    one.progress = progress;
    const { error } = await one.send({ open: { module: ready, files: bytes, main } });
    if (!error) return one;
    one.end("not opened");
    throw new Error(problemWords(error));
  };
  let worked = await begin();
  let next = Promise.resolve(worked);
  let ended = false;
  /** What is being asked fails, and a new worker takes the place of this one. */
  const again = () => {
    if (ended) return;
    worked.end("given up");
    next = begin().then((one) => (ended && one.end("given up"), (worked = one)));
    next.catch(() => {});
  };
  const send = async (/** @type {any} */ message) => {
    const mine = next;
    const asked = await mine;
    if (mine !== next) throw new Error("given up"); // while its worker was starting
    try {
      return await asked.send(message);
    } catch (problem) {
      if (mine === next) again(); // it ended by itself: no memory left
      throw problem;
    }
  };
  return {
    ask: (question) => send({ call: "ask", text: JSON.stringify(question) }),
    sheets: (path) => send({ call: "sheets", text: path }),
    giveUp: again,
    end() {
      ended = true;
      worked.end("given up");
      URL.revokeObjectURL(address);
    },
  };
}
