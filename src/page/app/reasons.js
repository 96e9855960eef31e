// Explanations of the engine as sentences.
import { html } from "../vendor/preact.js";
import { limitName } from "./asked.js";
import { placeOf, withPlaces } from "./numbers.js";
import { CardNames, useStore } from "./widgets.js";

/** @typedef {import("./types.js").WhyCard} WhyCard */
/** @typedef {import("./types.js").LimitRef} LimitRef */

/** A limit as a reader knows it: its name and what it asks. @param {LimitRef} limit */
export function limitWords(limit) {
  if (limit.side === "keep" || limit.limit_kind === "keep") return `keeping ${limit.name}`;
  if (limit.side === "ban" || limit.limit_kind === "ban") return `banning ${limit.name}`;
  const name = limit.limit_kind === "size" ? "the size" : limit.limit_kind === "cap" ? "the cap" : limitName(limit.name, limit.of);
  return limit.asks ? `${name}: ${limit.asks}` : name;
}

/** Both sides of an exact number are one limit for a reader. @param {LimitRef[]} limits */
export function toldOnce(limits) {
  const key = (/** @type {LimitRef} */ limit) => JSON.stringify([limit.limit_kind, limit.name, limit.of, limit.asks]);
  return limits.filter((limit, at) => !limit.asks || limits.findIndex((other) => key(other) === key(limit)) === at);
}

/** For an order: the least that hangs on a card first; what is only known from below after what is settled, what is not known at all last. @param {{loss?: import("./types.js").Range}} card */
export function lossOf({ loss }) {
  return loss?.at_most ?? (loss?.at_least === undefined ? Number.MAX_VALUE : loss.at_least + 1e6);
}

/** Reasons come behind the pool; of a search that was ended, or where they were given up, they do not. @param {import("./store.js").Store} store */
export function reasonsWord(store) {
  return store.thinking ? "the reasons are being found" : "the reasons were not found out";
}

/** What keeps a card out, or what it brings: the sentences of `why`, then who would come in and go. @param {{card: WhyCard}} props */
export function Why({ card }) {
  if (card.candidate === false && !(card.text || []).length) return html`<p>It is no candidate: it stands in none of the sheets.</p>`;
  const lines = (card.text || []).map((sentence) => html`<li>${sentence}</li>`);
  if (card.impossible && card.conflict?.limits?.length) lines.push(html`<li><${ConflictLines} conflict=${card.conflict} /></li>`);
  const others = (/** @type {any[]} */ moved) => moved.filter((one) => one.name !== card.name);
  const enters = others(card.enters || []), leaves = others(card.leaves || []);
  if (!card.impossible && enters.length + leaves.length) lines.push(html`<li>${leaves.length ? html`<${CardNames} cards=${leaves} most=${4} /> would leave` : null}${leaves.length && enters.length ? "; " : ""}${enters.length ? html`<${CardNames} cards=${enters} most=${4} /> would come in` : null}.</li>`);
  for (const limit of card.limits || []) {
    if (limit.loosened) lines.push(html`<li>It would be in with ${limitWords(limit)} loosened (${limit.loosened}).</li>`);
  }
  return html`<ul class="reasons">${lines.length ? lines : html`<li>Nothing more is known of it.</li>`}</ul>`;
}

/** @param {{conflict: import("./types.js").Conflict | undefined}} props */
export function ConflictLines({ conflict }) {
  if (!conflict || !conflict.limits || !conflict.limits.length) return null;
  const limits = toldOnce(conflict.limits);
  return html`<span>${limits.length === 1 ? "This cannot be met, whatever else is chosen" : `These cannot all hold${conflict.minimal ? "" : " (perhaps fewer would do)"}`}:</span>
    <ul>${limits.map((limit) => html`<li>${limitWords(limit)}${limit.file ? html` <span class="quiet">${placeOf(limit)}</span>` : null}</li>`)}</ul>`;
}

/** Why nothing fits, and the least that mends it. @param {{answer: any}} props */
export function NothingFits({ answer }) {
  const { pool } = useStore();
  const causes = answer.causes || [];
  const conflict = answer.conflict && answer.conflict.limits && answer.conflict.limits.length > 0;
  const repair = answer.repair?.changes || [];
  return html`<div class="problem" role="group" aria-label="Nothing fits">
    <p><strong>No pool meets all limits.</strong>${pool.size ? " The pool shown is the one before." : ""}</p>
    ${causes.map((/** @type {any} */ cause) => html`${cause.text ? html`<p>${withPlaces(cause.text)}</p>` : null}${conflict ? null : html`<ul>${toldOnce(cause.limits).map((limit) => html`<li>${limitWords(limit)}${limit.file ? html` <span class="quiet">${placeOf(limit)}</span>` : null}</li>`)}</ul>`}`)}
    ${causes.length && causes[causes.length - 1].enough ? html`<p>Without ${causes.length === 1 ? "that" : "these"} there is a pool: proven.</p>` : null}
    ${conflict ? html`<${ConflictLines} conflict=${answer.conflict} />` : null}
    ${repair.length ? html`<p>${answer.repair.least ? "The least that mends it" : "A change that mends it (perhaps not the smallest)"}:</p><ul>${repair.map((/** @type {any} */ change) => html`<li>${limitWords(change)}, loosened (${change.loosened})</li>`)}</ul>` : answer.repair?.found === false ? html`<p>No change of numbers alone was found that mends it.</p>` : null}
  </div>`;
}
