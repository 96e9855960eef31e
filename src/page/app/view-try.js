// Trying: cap, size, the history of steps, and what each step changed.
import { html, useEffect, useState } from "../vendor/preact.js";
import { askedLines, nothingAsked, withCap, withSize } from "./asked.js";
import { writtenCap } from "./limits.js";
import { count, money, noPoolWord, plain, signed } from "./numbers.js";
import { NothingFits } from "./reasons.js";
import { moves, sum } from "./state.js";
import { swapped } from "./tally.js";
import { CardName, More, NumberField, typed, useStore } from "./widgets.js";

/** @typedef {import("./types.js").Answer} Answer */
/** @typedef {import("./types.js").Step} Step */

/** The bar that stays: where one is, what the last step did, undo and redo. */
export function StepBar() {
  const store = useStore();
  const busy = store.busy;
  const { thinking } = store;
  return html`<div class="step-bar" role="group" aria-label="Steps">
    <p class="where"><strong>${store.at ? `Step ${store.at}: ${store.step.label}` : "The start"}</strong>
      <span>${busy ? html`<${Running} />` : store.at || !store.hasPool(0) ? store.stepWords(store.step) : `fit ${plain(store.answer.fit)}, ${money(store.answer.cost)} to buy`}</span>
      ${thinking && !busy ? html`<span class="quiet">${findingWords(store.finding)}</span>` : null}</p>
    <p class="buttons">
      ${store.startEngine ? html`<button type="button" aria-disabled=${!(busy || thinking)} onClick=${() => (busy || thinking) && store.giveUp()}>Give up</button>` : null}
      <button type="button" aria-disabled=${store.at === 0} onClick=${() => store.undo()}>Undo</button>
      <button type="button" aria-disabled=${store.at + 1 >= store.steps.length} onClick=${() => store.redo()}>Redo</button></p>
  </div>`;
}

/** How long the present search runs. */
function Running() {
  const store = useStore();
  const [, tick] = useState(0);
  useEffect(() => {
    const timer = setInterval(() => tick((/** @type {number} */ old) => old + 1), 500);
    return () => clearInterval(timer);
  }, []);
  const { current } = store.pools;
  const seconds = current ? Math.floor((Date.now() - current.since) / 1000) : 0;
  return html`<span>${store.ending ? "being ended with what was found" : "being solved"}${seconds ? ` for ${count(seconds, "second")}` : ""} ...${progressWords(store.progress)}</span>`;
}

/** @param {import("./state.js").Progress | null} now */
function progressWords(now) {
  if (!now) return "";
  const words = [];
  if (typeof now.fit === "number") words.push(`found ${plain(now.fit)}`);
  if (typeof now.bound === "number") words.push(`proven: at most ${plain(now.bound)}`);
  return words.length ? ` ${words.join(", ")}` : "";
}

/** @param {import("./state.js").Progress | null} now */
function findingWords(now) {
  return now && now.what && now.of ? `finding reasons: ${now.what}, ${now.done} of ${now.of}` : "finding reasons ...";
}

/** The panel of what can be moved. */
export function TryPanel() {
  const store = useStore();
  return html`<section class="try" aria-labelledby="try"><h2 id="try">Try</h2>
    ${store.startEngine ? (store.ready ? null : html`<p class="quiet">${store.problem || "The optimiser is getting ready ..."}</p>`) : html`<p class="quiet">This page was written without the optimiser: it shows the pool and its reasons, but nothing can be tried.</p>`}
    ${store.ready && store.problem ? html`<p class="problem">${store.problem}</p>` : null}
    <fieldset disabled=${!store.ready}><legend class="unseen">Cap and size</legend><${CapField} /><${SizeField} /></fieldset>
    ${store.step.problem ? html`<p class="problem">${store.stepWords(store.step)}</p>` : null}
    ${store.step.answer && !store.hasPool(store.at) && store.step.answer.status !== "infeasible" ? html`<p class="problem">${store.stepWords(store.step)}${store.pool.size ? " The pool shown is the one before." : ""}</p>` : store.step.answer && !store.hasPool(store.at) ? html`<${NothingFits} answer=${store.step.reasons || store.step.answer} />` : null}
    <${WhatChanged} /><${History} /><${KeepCase} /></section>`;
}

function CapField() {
  const store = useStore();
  const used = writtenCap(store.answer) ?? store.model.cap ?? undefined;
  const asked = store.step.asked.cap;
  const cap = asked === undefined ? used : asked;
  const [moved, move] = useState(/** @type {number | null} */ (null));
  useEffect(() => move(null), [store.at, cap]);
  const frontier = store.data.caps?.frontiers?.[0];
  const base = writtenCap(store.steps[0].answer) || store.answer.cost || 100;
  const least = Math.floor(frontier?.least_cap?.at_most ?? 0);
  const most = Math.ceil(Math.max(base * 2, frontier?.enough?.at_most ?? 0));
  const shown = moved ?? cap ?? most;
  const set = (/** @type {number | null} */ value) => {
    if (value === cap || (value !== null && !(value >= 0))) return;
    store.attempt(value === null ? "no cap" : `cap ${money(value)}`, withCap(store.step.asked, value === null ? null : Math.round(value * 100) / 100), "cap");
  };
  return html`<div class="field"><label for="cap">Cap</label>
    <${NumberField} id="cap" min="0" step="any" value=${cap === null || (cap === undefined && moved === null) ? "" : plain(shown)} set=${(/** @type {string} */ text) => set(text === "" ? null : Number(text))} />
    <input type="range" aria-label="Cap, as a slider" min=${least} max=${most} step=${most > 50 ? 1 : 0.1} value=${shown} onInput=${(/** @type {any} */ event) => move(Number(event.currentTarget.value))} onChange=${(/** @type {any} */ event) => set(Number(event.currentTarget.value))} />
    <button type="button" class="small" disabled=${cap === null || cap === undefined} onClick=${() => set(null)}>no cap</button></div>`;
}

function SizeField() {
  const store = useStore();
  const { bounds, rules } = store.step.asked;
  const literal = rules.length > 0 || Object.keys(bounds).length > 0; // written beside the size, so they are what they say
  const size = store.step.asked.size ?? store.answer.size ?? (store.pool.size || store.model.size?.from);
  return html`<div class="field"><label for="size">Size</label>
    <${NumberField} id="size" min="1" max="100000" step="1" value=${size} set=${(/** @type {string} */ text) => {
      const wanted = Number(text);
      if (Number.isInteger(wanted) && wanted > 0 && wanted !== size) store.attempt(count(wanted, "card"), withSize(store.step.asked, wanted), "size");
    }} /><span class="quiet">cards; limits on numbers move along${literal ? ", but for those that were changed or added here" : ""}</span></div>`;
}

/** What the present step changed, and what all steps did. */
function WhatChanged() {
  const store = useStore();
  const start = store.steps[0].answer;
  const before = store.before;
  if (!store.hasPool(store.at) && store.at) return null;
  if (!store.shown || !before || !start) return html`<div class="changed"><h3>What it changes</h3><p class="quiet">Move something: the pool is solved again, and what changes stands here.</p></div>`;
  const step = store.shownStep;
  const moved = moves(/** @type {Answer} */ (before.answer), store.answer);
  const last = step.answer?.nearest || moved;
  const fewer = !sameCopies(last.enters, moved.enters) || !sameCopies(last.leaves, moved.leaves);
  const all = moves(start, store.answer);
  return html`<div class="changed"><h3>What it changes</h3>
    <h4>Since the step before</h4><${Moved} moved=${last} fewer=${fewer} from=${before} to=${step} />
    ${fewer ? html`<p class="quiet">${last.enters.length + last.leaves.length ? "These changes are enough for this fit; the" : "The"} pool shown is the one that the command line names.</p>` : null}
    <${More} title=${`Since the start: ${sum(all.enters)} in, ${sum(all.leaves)} out`}><${Moved} moved=${all} from=${store.steps[0]} to=${step} /></${More}></div>`;
}

/** @param {import("./types.js").Copies[]} a @param {import("./types.js").Copies[]} b */
function sameCopies(a, b) {
  return a.length === b.length && a.every(({ name, copies }) => b.some((one) => one.name === name && one.copies === copies));
}

/** @param {{moved: {enters: any[], leaves: any[]}, fewer?: boolean, from: Step, to: Step}} props fewer: than the pools differ in, for the same fit */
function Moved({ moved, fewer, from, to }) {
  const store = useStore();
  const [all, showAll] = useState(false);
  const swaps = swapped(moved.enters, moved.leaves, store.cards);
  const shown = all ? swaps : swaps.slice(0, 8);
  const same = store.sameFits(from.asked, to.asked);
  const fit = same ? `${signed((to.answer?.fit || 0) - (from.answer?.fit || 0))} fit` : same === false ? "Fit is counted in another way" : `fit ${plain(to.answer?.fit)}`;
  return html`<p>${fit}, ${signed((to.answer?.cost || 0) - (from.answer?.cost || 0), money)} of money${swaps.length ? "" : fewer ? "; no card has to change for this fit" : "; the same cards"}.</p>
    ${swaps.length ? html`<ul class="moves">${shown.map((swap) => html`<li>${swap.enter ? html`<span class="in"><span class="unseen">in: </span><${CardName} name=${swap.enter} /></span>` : null}${swap.leave ? html` <span class="out"><span class="unseen">out: </span><${CardName} name=${swap.leave} /></span>` : null}</li>`)}</ul>` : null}
    ${shown.length < swaps.length ? html`<button type="button" class="small" onClick=${() => showAll(true)}>and ${swaps.length - shown.length} more</button>` : null}`;
}

function History() {
  const store = useStore();
  if (store.steps.length < 2) return null;
  return html`<h3>Steps</h3><ol class="history" start="0">${store.steps.map((step, at) => html`<li><button type="button" class=${at === store.at ? "here" : ""} aria-current=${at === store.at ? "step" : undefined} onClick=${() => store.goTo(at)}>${step.label}</button> <span class="quiet">${step.answer ? (step.answer.fit === undefined ? noPoolWord(step.answer) : plain(step.answer.fit)) : step.problem ? "cannot be asked" : ""}</span></li>`)}</ol>
    <p><button type="button" disabled=${store.at === 0} onClick=${() => store.attempt("back to the start", nothingAsked())}>Back to the start, as a step</button></p>`;
}

function KeepCase() {
  const store = useStore();
  const [name, setName] = useState("");
  const lines = askedLines(store.step.asked);
  if (!lines.length) return null;
  const keep = (/** @type {Event} */ event) => {
    event.preventDefault();
    store.keepAsCase(name.trim());
    setName("");
  };
  return html`<div class="asked"><h3>What is asked now</h3><ul>${lines.map((line) => html`<li>${line}</li>`)}</ul>
    <form class="row" onSubmit=${keep}><label>Keep as a case called <input required value=${name} onInput=${typed(setName)} /></label><button type="submit">Keep</button></form></div>`;
}
