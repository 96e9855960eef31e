// What a state asks beyond the scenario as it was opened: changed without touching the old one, said in words, and as a question's `change`.
import { count, listed, money } from "./numbers.js";

/** @typedef {import("./types.js").Asked} Asked */
/** @typedef {import("./types.js").Wish} Wish */

/** @returns {Asked} */
export function nothingAsked() {
  return { cards: {}, values: {}, bounds: {}, parts: {}, off: [], weights: {}, rules: [] };
}

/** @param {Asked} asked @param {number | null} cap null: no cap @returns {Asked} */
export function withCap(asked, cap) {
  return { ...asked, cap };
}

/** @param {Asked} asked @param {number} size @returns {Asked} */
export function withSize(asked, size) {
  return { ...asked, size };
}

/** @param {Asked} asked @param {string} name @param {Wish | null} wish null: what the scenario says @returns {Asked} */
export function withCard(asked, name, wish) {
  const cards = { ...asked.cards };
  if (wish) cards[name] = wish;
  else delete cards[name];
  return { ...asked, cards };
}

/** Another price or power of a card. @param {Asked} asked @param {string} name @param {import("./types.js").Values} values @returns {Asked} */
export function withValues(asked, name, values) {
  return { ...asked, values: { ...asked.values, [name]: { ...asked.values[name], ...values } } };
}

/**
 * @param {Asked} asked @param {string} rule @param {string} of its member; "" for the rule itself
 * @param {Record<string, any>} bound as in YAML: {at_least: 7} @returns {Asked}
 */
export function withBound(asked, rule, of, bound) {
  return { ...asked, bounds: { ...asked.bounds, [rule]: { ...asked.bounds[rule], [of]: bound } }, off: asked.off.filter((name) => name !== rule) };
}

/** @param {Asked} asked @param {string} rule @param {boolean} off @returns {Asked} */
export function withOff(asked, rule, off) {
  const rest = asked.off.filter((name) => name !== rule);
  return { ...asked, off: off ? [...rest, rule] : rest };
}

/** Cards apart, groups, needs: others bounds or off, by name; "places" as a whole: off. @param {Asked} asked @param {string} key of a model @param {string} name @param {Record<string, any>} said @returns {Asked} */
export function withPart(asked, key, name, said) {
  return { ...asked, parts: { ...asked.parts, [key]: { ...asked.parts[key], [name]: said } } };
}

/** @param {Asked} asked @param {string} theme @param {number} weight @returns {Asked} */
export function withWeight(asked, theme, weight) {
  return { ...asked, weights: { ...asked.weights, [theme]: weight } };
}

/** @param {Asked} asked @param {any} rule @returns {Asked} */
export function withRule(asked, rule) {
  return { ...asked, rules: [...asked.rules.filter((one) => one.name !== rule.name), rule] };
}

/** @param {Asked} asked @param {string} name of a new limit @returns {Asked} */
export function withoutRule(asked, name) {
  return { ...asked, rules: asked.rules.filter((one) => one.name !== name) };
}

/** A case of the scenario as a state. @param {string} name @returns {Asked} */
export function caseAsked(name) {
  return { ...nothingAsked(), base: name };
}

/** As the `change` of a case: the keys of a model. @param {Asked} asked */
export function changeOf(asked) {
  /** @type {Record<string, any>} */
  const change = {};
  if (asked.size !== undefined) change.size = asked.size;
  if (asked.cap !== undefined) change.spending_cap = asked.cap === null ? "none" : asked.cap;
  for (const wish of /** @type {const} */ (["keep", "ban", "wish"])) {
    const names = Object.keys(asked.cards).filter((name) => asked.cards[name] === wish);
    if (names.length) change[wish] = names;
  }
  const themes = Object.entries(asked.weights).map(([name, weight]) => ({ name, weight }));
  if (themes.length) change.themes = themes;
  const rules = [...changedRules(asked), ...asked.rules];
  if (rules.length) change.rules = rules;
  for (const [key, said] of Object.entries(asked.parts)) change[key] = key === "places" ? "none" : said;
  return change;
}

/** @param {Asked} asked */
function changedRules(asked) {
  const rules = [];
  for (const [name, members] of Object.entries(asked.bounds)) {
    if (asked.off.includes(name)) continue;
    const { "": own, ...others } = members;
    rules.push({ name, ...own, ...(Object.keys(others).length ? { for: others } : {}) });
  }
  for (const name of asked.off) rules.push({ name, off: "yes" });
  return rules;
}

/** What a case's `cards` says: other prices and powers, and cards that the scenario keeps or bans, free again. @param {Asked} asked */
export function caseCardsOf(asked) {
  /** @type {Record<string, Record<string, any>>} */
  const cards = {};
  for (const [name, values] of Object.entries(asked.values || {})) cards[name] = { ...cards[name], ...values };
  for (const [name, wish] of Object.entries(asked.cards)) if (wish === "free") cards[name] = { ...cards[name], keep: "no", ban: "no" };
  return cards;
}

/** Of a question to the engine: the case, the change, and what it says of single cards. @param {Asked} asked */
export function questionOf(asked) {
  const cards = caseCardsOf(asked);
  return { ...(asked.base ? { case: asked.base } : {}), change: changeOf(asked), ...(Object.keys(cards).length ? { case_cards: cards } : {}) };
}

/** A limit's bounds in words. @param {Record<string, any>} bound */
export function boundWords(bound) {
  if (bound.exactly !== undefined) return `exactly ${bound.exactly}`;
  if (bound.between) return `${bound.between[0]} to ${bound.between[1]}`;
  if (bound.at_least !== undefined && bound.at_least === bound.at_most) return `exactly ${bound.at_least}`;
  if (bound.at_least !== undefined && bound.at_most !== undefined) return `${bound.at_least} to ${bound.at_most}`;
  if (bound.at_least !== undefined) return `at least ${bound.at_least}`;
  if (bound.at_most !== undefined) return `at most ${bound.at_most}`;
  const words = [];
  if (bound.average_at_least !== undefined) words.push(`at least ${bound.average_at_least}`);
  if (bound.average_at_most !== undefined) words.push(`at most ${bound.average_at_most}`);
  return words.length ? `on average ${words.join(" and ")}` : "";
}

/** "removal (tar)". @param {string} name @param {string} [of] */
export function limitName(name, of) {
  return of && !name.includes(`(${of})`) ? `${name} (${of})` : name;
}

/** All that is asked, a line each. @param {Asked} asked */
export function askedLines(asked) {
  const lines = asked.base ? [`the case ${asked.base}`] : [];
  if (asked.cap !== undefined) lines.push(asked.cap === null ? "no cap" : `cap ${money(asked.cap)}`);
  if (asked.size !== undefined) lines.push(count(asked.size, "card"));
  /** @type {Record<Wish, string>} */
  const words = { keep: "keep", ban: "ban", wish: "wish for", free: "neither keep nor ban" };
  for (const wish of /** @type {Wish[]} */ (["keep", "ban", "wish", "free"])) {
    const names = Object.keys(asked.cards).filter((name) => asked.cards[name] === wish);
    if (names.length) lines.push(`${words[wish]} ${listed(names)}`);
  }
  for (const [name, values] of Object.entries(asked.values || {})) {
    for (const [field, value] of Object.entries(values)) lines.push(`${field} of ${name}: ${field === "price" ? money(value) : value}`);
  }
  for (const [theme, weight] of Object.entries(asked.weights)) lines.push(`${theme} weighs ${weight}`);
  for (const [name, members] of Object.entries(asked.bounds)) {
    for (const [of, bound] of Object.entries(members)) lines.push(`${limitName(name, of)}: ${boundWords(bound)}`);
  }
  for (const said of Object.values(asked.parts)) {
    for (const [name, bound] of Object.entries(said)) lines.push(bound.off ? `without ${name}` : `${name}: ${boundWords(bound)}`);
  }
  for (const name of asked.off) lines.push(`without the limit ${name}`);
  for (const rule of asked.rules) lines.push(`new limit ${rule.name}: ${boundWords(rule)}`);
  return lines;
}
