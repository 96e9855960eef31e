// What a pool comes to, counted from its cards: themes, colours and their curves, sections of money. Exact meanings: docs/words.md.
import { byName } from "./numbers.js";

/** @typedef {import("./types.js").Card} Card */
/** @typedef {import("./types.js").Model} Model */
/** @typedef {Map<string, number>} Pool copies by name */

/** The parts of a card's cost: each can be paid with any colour of its list. @param {string} colours @returns {string[][]} */
export function partsOf(colours) {
  return colours && colours !== "colourless" ? colours.split("+").map((part) => part.split("/")) : [];
}

/** All colours that a card shows. @param {string} colours */
export function coloursOf(colours) {
  return [...new Set(partsOf(colours).flat())];
}

/** Whether a deck of these colours can play it. @param {Card} card @param {string[]} deck */
export function playable(card, deck) {
  return partsOf(card.colours).every((part) => part.some((colour) => deck.includes(colour)));
}

/** @param {{name: string, copies?: number}[] | undefined} cards @returns {Pool} */
export function poolOf(cards) {
  return new Map((cards || []).map((card) => [card.name, card.copies ?? 1]));
}

/**
 * @typedef {object} ThemeTally
 * @property {string} name
 * @property {string[]} colours
 * @property {number} weight
 * @property {number} cards
 * @property {number} enablers
 * @property {number} payoffs
 * @property {number} gold
 * @property {number} shared
 * @property {number} strength
 * @property {Record<string, number>} byColour copies that show the colour; "" for colourless
 * @property {Card[]} members
 */

/**
 * A line for each theme. The strength is what its tags add up to, over the cards that its deck can play.
 * @param {Pool} pool @param {Map<string, Card>} cards @param {Model} model @returns {ThemeTally[]}
 */
export function tallyThemes(pool, cards, model) {
  const declared = new Set(model.themes.map((theme) => theme.name));
  return model.themes.map((theme) => {
    const colours = theme.colours ? coloursOf(theme.colours) : model.colours;
    /** @type {ThemeTally} */
    const line = { name: theme.name, colours, weight: theme.weight, cards: 0, enablers: 0, payoffs: 0, gold: 0, shared: 0, strength: 0, byColour: Object.create(null), members: [] };
    for (const [name, copies] of pool) {
      const card = cards.get(name);
      const tag = card && card.tags.find((one) => one.tag === theme.name);
      if (!card || !tag || !playable(card, colours)) continue;
      line.cards += copies;
      if (tag.role === "enabler" || tag.role === "both") line.enablers += copies;
      if (tag.role === "payoff" || tag.role === "both") line.payoffs += copies;
      if (card.class === "gold") line.gold += copies;
      if (card.tags.some((other) => other.tag !== theme.name && declared.has(other.tag))) line.shared += copies;
      line.strength += copies * (tag.weight ?? 1) * theme.weight;
      const shown = coloursOf(card.colours);
      for (const colour of shown.length ? shown : [""]) line.byColour[colour] = (line.byColour[colour] || 0) + copies;
      line.members.push(card);
    }
    line.strength = Math.round(line.strength * 1000) / 1000;
    line.members.sort((a, b) => b.fit - a.fit || byName(a.name, b.name));
    return line;
  });
}

/**
 * The mono cards of each colour, and how many at each cost.
 * @param {Pool} pool @param {Map<string, Card>} cards @param {Model} model
 */
export function tallyColours(pool, cards, model) {
  return model.colours.map((colour) => {
    /** @type {Map<number, number>} */
    const curve = new Map();
    const line = { colour, mono: 0, early: 0, middle: 0, late: 0, noCost: 0, costs: 0, fixing: 0, gold: 0, hybrid: 0, kinds: /** @type {Record<string, number>} */ (Object.create(null)), curve };
    for (const [name, copies] of pool) {
      const card = cards.get(name);
      if (!card || !coloursOf(card.colours).includes(colour)) continue;
      if (card.class === "fixing") line.fixing += copies;
      if (card.class === "gold") line.gold += copies;
      if (card.class === "hybrid") line.hybrid += copies;
      if (card.class !== "mono") continue;
      line.mono += copies;
      for (const kind of card.kind) line.kinds[kind] = (line.kinds[kind] || 0) + copies;
      if (card.cost === null || card.cost === undefined) {
        line.noCost += copies;
        continue;
      }
      const cost = Math.floor(card.cost);
      curve.set(cost, (curve.get(cost) || 0) + copies);
      line.costs += copies * card.cost;
      if (card.cost <= 2) line.early += copies;
      else if (card.cost < 5) line.middle += copies;
      else line.late += copies;
    }
    return line;
  });
}

/** Copies of a card in the pool that must be bought. @param {Card} card @param {number} copies */
export function bought(card, copies) {
  return Math.max(0, copies - (card.owned || 0));
}

/** What so many bought copies of a card cost, with the model's handling. @param {Card | null | undefined} card @param {number} buy @param {Model} model */
export function costOf(card, buy, model) {
  return (buy * Math.round(100 * ((card?.price || 0) + (model.handling || 0)))) / 100;
}

/**
 * Where the money goes: each colour's own cards, then the other classes.
 * @param {Pool} pool @param {Map<string, Card>} cards @param {Model} model
 */
export function tallyMoney(pool, cards, model) {
  /** @type {Map<string, {section: string, cards: number, buy: number, sum: number, dearest: Card | null}>} */
  const sections = new Map();
  for (const section of [...model.colours, "gold", "hybrid", "colourless", "fixing"]) {
    sections.set(section, { section, cards: 0, buy: 0, sum: 0, dearest: null });
  }
  for (const [name, copies] of pool) {
    const card = cards.get(name);
    if (!card) continue;
    const line = sections.get(card.class === "mono" ? card.colours : card.class);
    if (!line) continue;
    const buy = bought(card, copies);
    line.cards += copies;
    line.buy += buy;
    line.sum += costOf(card, buy, model);
    if (buy && (!line.dearest || (card.price || 0) > (line.dearest.price || 0))) line.dearest = card;
  }
  return [...sections.values()].filter((line) => line.cards > 0);
}

/** Cards in and out from one pool to another, names in order. @param {Pool} before @param {Pool} after */
export function difference(before, after) {
  /** @type {{name: string, copies: number}[]} */
  const enters = [];
  /** @type {{name: string, copies: number}[]} */
  const leaves = [];
  for (const [name, copies] of after) {
    const more = copies - (before.get(name) || 0);
    if (more > 0) enters.push({ name, copies: more });
  }
  for (const [name, copies] of before) {
    const fewer = copies - (after.get(name) || 0);
    if (fewer > 0) leaves.push({ name, copies: fewer });
  }
  enters.sort((a, b) => byName(a.name, b.name));
  leaves.sort((a, b) => byName(a.name, b.name));
  return { enters, leaves };
}

/** Pairs a copy that leaves with one that enters, the most alike first: how a designer reads changes.
 * @param {{name: string, copies?: number}[]} enters @param {{name: string, copies?: number}[]} leaves @param {Map<string, Card>} cards */
export function swapped(enters, leaves, cards) {
  const each = (/** @type {{name: string, copies?: number}[]} */ list) => list.flatMap(({ name, copies }) => Array.from({ length: copies ?? 1 }, () => name));
  const rest = each(leaves);
  /** @type {{enter: string | null, leave: string | null}[]} */
  const swaps = [];
  for (const name of each(enters)) {
    const card = cards.get(name);
    let best = -1;
    let like = -Infinity;
    rest.forEach((other, at) => {
      const score = alike(card, cards.get(other));
      if (score > like) [best, like] = [at, score];
    });
    swaps.push({ enter: name, leave: best < 0 ? null : rest.splice(best, 1)[0] });
  }
  return swaps.concat(rest.map((name) => ({ enter: null, leave: name })));
}

/** How far two cards do the same job. @param {Card | undefined} a @param {Card | undefined} b */
export function alike(a, b) {
  if (!a || !b) return 0;
  let score = 0;
  if (a.class === b.class) score += 2;
  if (a.colours === b.colours) score += 4;
  for (const tag of a.tags) {
    const same = b.tags.find((one) => one.tag === tag.tag);
    if (same) score += same.role === tag.role ? 3 : 2;
  }
  if (a.kind.some((kind) => b.kind.includes(kind))) score += 1;
  return score - Math.abs((a.cost || 0) - (b.cost || 0)) / 2;
}
