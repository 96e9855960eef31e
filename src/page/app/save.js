// The page as a file again, with the present state and its history inside.
import { today } from "./hand-out.js";
import { count } from "./numbers.js";

/** @type {HTMLElement | null} the document as it was before anything was changed */
let original = null;

/** Remembers the document; called before the page is drawn. */
export function rememberPage() {
  original = /** @type {HTMLElement} */ (document.documentElement.cloneNode(true));
}

/** The whole page as text. @param {import("./store.js").Store} store */
export function savedPage(store) {
  const page = /** @type {HTMLElement} */ ((original || document.documentElement).cloneNode(true));
  const data = page.querySelector("script#pool");
  if (data) data.textContent = embedded(savedData(store));
  const still = page.querySelector("#static");
  if (still && store.steps.length > 1) {
    still.querySelector(".saved")?.remove();
    const note = document.createElement("p");
    note.className = "saved";
    note.textContent = `Saved ${today()} after ${count(store.steps.length - 1, "step")}; what stands below is the start, and the steps are seen with scripts.`;
    still.prepend(note);
  }
  return `<!doctype html>\n${page.outerHTML}\n`;
}

/** @param {import("./store.js").Store} store */
export function savedData(store) {
  const { data } = store;
  const history = store.steps.slice(1, store.at + 1).map((step) => ({ label: step.label, asked: step.asked, answer: step.answer }));
  return { ...data, history, marks: store.marks, kept: store.kept, revise: store.revision, last: store.present };
}

/** JSON that may stand in a script element whatever it holds. @param {any} value */
function embedded(value) {
  return JSON.stringify(value).replaceAll("<", "\\u003c").replaceAll("\u2028", "\\u2028").replaceAll("\u2029", "\\u2029");
}
