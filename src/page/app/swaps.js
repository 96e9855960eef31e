// Single swaps since last time, each with what caused it.
import { listed, money, signed } from "./numbers.js";

/** @typedef {{enter: string, leave: string, gain: number, spent: number}} Swap */
/** @typedef {import("./store.js").Store} Store */

/** How a swap is called among the marks. @param {Swap} swap */
export function keyOf(swap) {
  return `${swap.enter} for ${swap.leave}`;
}

/** At most five swaps that are not decided yet, and a sentence where there are none to show. @param {Store} store */
export function newSwaps(store) {
  const revision = store.revision;
  const none = /** @type {Swap[]} */ ([]);
  if (!revision) return { swaps: none, words: store.data.best.enters ? `The present pool is ${(store.data.best.enters || []).length} cards from this one: see Changes.` : "There is no present pool to compare with." };
  const all = /** @type {Swap[]} */ ((revision.one_by_one || []).filter((/** @type {any} */ one) => one.enters.length && one.leaves.length)
    .map((/** @type {any} */ one) => ({ enter: one.enters[0].name, leave: one.leaves[0].name, gain: one.gain, spent: one.spent })));
  const swaps = all.filter((swap) => !store.marks[keyOf(swap)]).slice(0, 5);
  const mend = revision.least_swaps > 5 ? `The present pool breaks limits: it takes ${revision.least_swaps_exact ? "" : "at least "}${revision.least_swaps} swaps to meet them all (see Changes).` : "";
  if (swaps.length) return { swaps, words: mend ? `${mend} To begin with:` : "" };
  if (all.length) return { swaps, words: "All is decided." };
  return { swaps, words: mend || "No single swap makes the pool better." };
}

/** What speaks for a swap: a new card, a price that moved, a ban, themes, power. @param {Swap} swap @param {Store} store */
export function causeOf(swap, store) {
  const enter = store.cards.get(swap.enter);
  const leave = store.cards.get(swap.leave);
  if (!enter || !leave) return leave ? "new among the candidates" : "no candidate any more";
  const causes = [];
  const last = store.data.last?.prices || {};
  const was = last[enter.name];
  if (Object.keys(last).length && was === undefined) causes.push(`${enter.name} is new`);
  else if (was !== undefined && enter.price !== null && was !== enter.price) causes.push(`${enter.name} went from ${money(was)} to ${money(enter.price)}`);
  const left = last[leave.name];
  if (left !== undefined && leave.price !== null && left !== leave.price) causes.push(`${leave.name} went from ${money(left)} to ${money(leave.price)}`);
  if ((leave.status || "").split("; ").includes("ban")) causes.push(`${leave.name} is banned`);
  const more = enter.tags.filter((tag) => !leave.tags.some((other) => other.tag === tag.tag)).map((tag) => tag.tag);
  if (more.length) causes.push(`more for ${listed(more)}`);
  const power = (enter.power ?? 0) - (leave.power ?? 0);
  if (enter.power !== null && leave.power !== null && power) causes.push(`power ${signed(power)}`);
  return causes.join("; ");
}
