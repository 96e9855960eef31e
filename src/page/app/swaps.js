// Single swaps since last time, each with what caused it.
import { listed, money, own, signed } from "./numbers.js";
import { costOf, swapped } from "./tally.js";

/** @typedef {{enter: string, leave: string, gain: number, spent: number}} Swap */
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
  const swaps = all.filter((swap) => !store.marks[keyOf(swap)]).slice(0, 5);
  const broken = revision.least_swaps > 0 ? `The pool as it was breaks limits: it takes ${revision.least_swaps_exact ? "" : "at least "}${revision.least_swaps} swaps to meet them all` : "";
  if (mends.length && swaps.length) return { swaps, words: `${broken}. With these it is as good as so few can make it:` };
  if (swaps.length) return { swaps, words: broken && `${broken} (see Changes). Once that is done, the best first:` };
  if (all.length) return { swaps, words: "All is decided." };
  return { swaps, words: broken ? `${broken} (see Changes).` : revision.stopped ? "What few swaps would bring is not known." : "No single swap makes the pool better." };
}

/** The best single swaps, one after the other. @param {any} revision @returns {Swap[]} */
function singleSwaps(revision) {
  return (revision.one_by_one || []).filter((/** @type {any} */ one) => one.enters.length && one.leaves.length)
    .map((/** @type {any} */ one) => ({ enter: one.enters[0].name, leave: one.leaves[0].name, gain: one.gain, spent: one.spent }));
}

/** Where a pool breaks limits that few swaps mend, these: told card by card. @param {Store} store @param {any} revision @returns {Swap[]} */
function mendingSwaps(store, revision) {
  const point = (revision.points || [])[0];
  if (!revision.least_swaps || !point || point.fit === undefined || point.leaves.length > 5) return [];
  const price = (/** @type {import("./types.js").Card | undefined} */ card) => (card && !card.owned ? costOf(card, 1, store.opened.model) : 0);
  return swapped(point.enters, point.leaves, store.opened.cards).flatMap(({ enter, leave }) => {
    if (!enter || !leave) return [];
    const [a, b] = [store.opened.cards.get(enter), store.opened.cards.get(leave)];
    return [{ enter, leave, gain: Math.round(((a?.fit || 0) - (b?.fit || 0)) * 1000) / 1000, spent: price(a) }];
  });
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
