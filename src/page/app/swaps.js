// Single swaps since last time, each with what caused it.
import { count, listed, money, own, plain, signed } from "./numbers.js";
import { sum } from "./state.js";
import { swapped } from "./tally.js";

/** @typedef {{enter: string, leave: string, gain?: number, spent?: number}} Swap what it brings by itself, where that is known */
/** @typedef {import("./store.js").Store} Store */

/** How a swap is called among the marks. @param {Swap} swap */
export function keyOf(swap) {
  return `${swap.enter} for ${swap.leave}`;
}

/** At most five swaps that are not decided yet, and a sentence about them. @param {Store} store */
export function newSwaps(store) {
  const revision = store.revision;
  if (!revision) return { swaps: /** @type {Swap[]} */ ([]), words: store.model.present ? "What few swaps would bring is not known." : "There is no present pool to compare with." };
  const mends = mendingSwaps(store, revision);
  const all = mends.length ? mends : singleSwaps(revision);
  const aside = all.findIndex((swap) => (own(store.marks, keyOf(swap))?.mark ?? "taken") !== "taken");
  const swaps = (aside < 0 ? all : all.slice(0, aside)).filter((swap) => !own(store.marks, keyOf(swap))).slice(0, 5); // those behind one that was put aside stand on it
  const broken = revision.least_swaps > 0 ? `The pool as it was breaks limits: it takes ${revision.least_swaps_exact ? "" : "at least "}${count(revision.least_swaps, "swap")} to meet them all` : "";
  if (mends.length && swaps.length) return { swaps, words: `${broken}. ${mendedWords(revision.points[0], mends.length)}:` };
  if (swaps.length) return { swaps, words: `${broken ? `${broken} (see Changes). Once that is done, one` : "One"} after the other, the best first${swaps.length > 1 ? "; each brings so much behind those before it" : ""}:` };
  if (aside >= 0 && store.thinking) return { swaps, words: "What there is without the swap that was put aside is being found ..." };
  if (all.length) return { swaps, words: "All is decided." };
  if (broken) return { swaps, words: `${broken} (see Changes).` };
  if ((revision.one_by_one || []).length) return { swaps, words: "What makes the pool better is no card for another, copy for copy (see Changes)." };
  return { swaps, words: revision.one_by_one_ends === "proven" ? "No single swap makes the pool better." : "What few swaps would bring is not known." };
}

/** What a pool comes to once it is mended; the best with so few swaps only where that is proven. @param {any} point @param {number} swaps */
function mendedWords(point, swaps) {
  return `With ${swaps === 1 ? "this one" : "these, all taken,"} it has fit ${plain(point.fit)}${point.status === "best" ? `, the most with at most ${count(point.swaps, "swap")},` : ""} and ${money(point.spent)} is to pay`;
}

/** The best single swaps, one after the other, up to the first that is no copy for a copy: those behind it stand on it. @param {any} revision @returns {Swap[]} */
function singleSwaps(revision) {
  const list = revision.one_by_one || [];
  const isOne = (/** @type {import("./types.js").Copies[]} */ moved) => moved.length === 1 && moved[0].copies === 1;
  const other = list.findIndex((/** @type {any} */ one) => !isOne(one.enters) || !isOne(one.leaves));
  return (other < 0 ? list : list.slice(0, other))
    .map((/** @type {any} */ one) => ({ enter: one.enters[0].name, leave: one.leaves[0].name, gain: one.gain, spent: one.spent }));
}

/** Where a pool breaks limits that at most five swaps mend, these, copy for copy; none where copies only enter or leave. @param {Store} store @param {any} revision @returns {Swap[]} */
function mendingSwaps(store, revision) {
  const point = (revision.points || [])[0];
  if (!revision.least_swaps || !point || point.fit === undefined) return [];
  const swaps = swapped(point.enters, point.leaves, store.opened.cards).flatMap(({ enter, leave }) => (enter && leave ? [{ enter, leave }] : []));
  return swaps.length <= 5 && new Set(swaps.map(keyOf)).size === swaps.length && swaps.length === sum(point.enters) && swaps.length === sum(point.leaves) ? swaps : [];
}

/** What speaks for a swap: a new card, a price that moved, a ban, themes, power. @param {Swap} swap @param {Store} store */
export function causeOf(swap, store) {
  const enter = store.opened.cards.get(swap.enter);
  const leave = store.opened.cards.get(swap.leave);
  if (!enter || !leave) return leave ? "new among the candidates" : "no candidate any more";
  const causes = [];
  const last = store.data.last?.prices || {};
  const was = own(last, enter.name);
  if (Object.keys(last).length && was === undefined) causes.push(`${enter.name} is new`);
  else if (was !== undefined && enter.price !== null && was !== enter.price) causes.push(`${enter.name} went from ${money(was)} to ${money(enter.price)}`);
  const left = own(last, leave.name);
  if (left !== undefined && leave.price !== null && left !== leave.price) causes.push(`${leave.name} went from ${money(left)} to ${money(leave.price)}`);
  if ((leave.status || "").split("; ").includes("ban")) causes.push(`${leave.name} is banned`);
  const more = enter.tags.filter((tag) => !leave.tags.some((other) => other.tag === tag.tag)).map((tag) => tag.tag);
  if (more.length) causes.push(`more for ${listed(more)}`);
  const power = (enter.power ?? 0) - (leave.power ?? 0);
  if (enter.power !== null && leave.power !== null && power) causes.push(`power ${signed(power)}`);
  return causes.join("; ");
}
