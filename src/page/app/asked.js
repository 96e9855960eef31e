// What a state asks beyond the scenario as it was opened: changed without touching the old one, said in words, and as a question's `change`.
import { count, listed, money, own, plain } from "./numbers.js";

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
  if (wish) return { ...asked, cards: { ...asked.cards, [name]: wish } };
  return { ...asked, cards: Object.fromEntries(Object.entries(asked.cards).filter(([other]) => other !== name)) };
}

/** Another price or power of a card. @param {Asked} asked @param {string} name @param {import("./types.js").Values} values @returns {Asked} */
export function withValues(asked, name, values) {
  return { ...asked, values: { ...asked.values, [name]: { ...own(asked.values, name), ...values } } };
}

/**
 * @param {Asked} asked @param {string} rule @param {string} of its member; "" for the rule itself
 * @param {Record<string, any>} bound as in YAML: {at_least: 7} @returns {Asked}
 */
export function withBound(asked, rule, of, bound) {
  return { ...asked, bounds: { ...asked.bounds, [rule]: { ...own(asked.bounds, rule), [of]: bound } }, off: asked.off.filter((name) => name !== rule) };
}

/** @param {Asked} asked @param {string} rule @param {boolean} off @returns {Asked} */
export function withOff(asked, rule, off) {
  const rest = asked.off.filter((name) => name !== rule);
  return { ...asked, off: off ? [...rest, rule] : rest };
}

/** Cards apart, groups, needs, choices: other bounds or off, by name; engines by theme, as a whole; "places" as a whole: off. @param {Asked} asked @param {string} key of a model @param {string} name @param {Record<string, any>} said @returns {Asked} */
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
  const themes = changedThemes(asked);
  if (themes.length) change.themes = themes;
  const rules = [...changedRules(asked), ...asked.rules];
  if (rules.length) change.rules = rules;
  for (const [key, said] of Object.entries(asked.parts)) {
    if (key !== "engines") change[key] = key === "places" ? "none" : key === "choose" ? Object.entries(said).map(([name, one]) => ({ name, ...one })) : said;
  }
  return change;
}

/** Weights and engines, each theme once. @param {Asked} asked */
function changedThemes(asked) {
  const engines = asked.parts.engines || {};
  return [...new Set([...Object.keys(asked.weights), ...Object.keys(engines)])].map((name) => ({
    name, ...(Object.hasOwn(asked.weights, name) ? { weight: asked.weights[name] } : {}), ...engineChange(own(engines, name)),
  }));
}

/** @param {Record<string, any> | undefined} engine */
function engineChange(engine) {
  return engine ? { engine: engine.off ? "none" : engine } : {};
}

/** @param {Asked} asked */
function changedRules(asked) {
  const rules = [];
  for (const [name, members] of Object.entries(asked.bounds)) {
    if (asked.off.includes(name)) continue;
    const { "": itself, ...others } = members;
    rules.push({ name, ...itself, ...(Object.keys(others).length ? { for: others } : {}) });
  }
  for (const name of asked.off) rules.push({ name, off: "yes" });
  return rules;
}

/** What a case's `cards` says: other prices and powers, and cards that the scenario keeps or bans, free again. @param {Asked} asked */
export function caseCardsOf(asked) {
  /** @type {Map<string, Record<string, any>>} */
  const cards = new Map(Object.entries(asked.values));
  for (const [name, wish] of Object.entries(asked.cards)) if (wish === "free") cards.set(name, { ...cards.get(name), keep: "no", ban: "no" });
  return Object.fromEntries(cards);
}

/** Of a question to the engine: the case, the change, and what it says of single cards. @param {Asked} asked */
export function questionOf(asked) {
  const cards = caseCardsOf(asked);
  return { ...(asked.base ? { case: asked.base } : {}), change: changeOf(asked), ...(Object.keys(cards).length ? { case_cards: cards } : {}) };
}

/** @param {any} value @param {"money" | "percent"} [unit] */
function numberIn(value, unit) {
  if (value === null || value === undefined) return "";
  return unit === "money" ? money(Number(value)) : unit === "percent" ? `${plain(value)}%` : typeof value === "number" ? plain(value) : String(value);
}

/** A limit's bounds in words. @param {Record<string, any>} bound @param {"money" | "percent"} [unit] */
export function boundWords(bound, unit) {
  const say = (/** @type {any} */ value) => numberIn(value, unit);
  if (bound.exactly !== undefined) return `exactly ${say(bound.exactly)}`;
  if (bound.between) return `${say(bound.between[0])} to ${say(bound.between[1])}`;
  if (bound.at_least !== undefined && bound.at_least === bound.at_most) return `exactly ${say(bound.at_least)}`;
  if (bound.at_least !== undefined && bound.at_most !== undefined) return `${say(bound.at_least)} to ${say(bound.at_most)}`;
  if (bound.at_least !== undefined) return `at least ${say(bound.at_least)}`;
  if (bound.at_most !== undefined) return `at most ${say(bound.at_most)}`;
  const words = [];
  if (bound.average_at_least !== undefined) words.push(`at least ${say(bound.average_at_least)}`);
  if (bound.average_at_most !== undefined) words.push(`at most ${say(bound.average_at_most)}`);
  return words.length ? `on average ${words.join(" and ")}` : "";
}

/** "removal (tar)". @param {string} name @param {string} [of] */
export function limitName(name, of) {
  return of && !name.includes(`(${of})`) ? `${name} (${of})` : name;
}

/** What is asked of a part of the structure. @param {string} key of a model @param {string} name @param {Record<string, any>} said */
export function partWords(key, name, said) {
  if (key === "engines") {
    const { from, to } = said.enablers_per_payoff || {};
    return `enablers per payoff (${name}): ${from === undefined && to === undefined ? "any" : boundWords({ ...(from !== undefined ? { at_least: from } : {}), ...(to !== undefined ? { at_most: to } : {}) })}`;
  }
  const title = key === "choose" ? `choice of ${name}` : name;
  return said.off ? `without ${title}` : `${title}: ${boundWords(said)}`;
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
  for (const [name, values] of Object.entries(asked.values)) {
    for (const [field, value] of Object.entries(values)) lines.push(`${field} of ${name}: ${field === "price" ? money(value) : value}`);
  }
  for (const [theme, weight] of Object.entries(asked.weights)) lines.push(`${theme} weighs ${weight}`);
  for (const [name, members] of Object.entries(asked.bounds)) {
    for (const [of, bound] of Object.entries(members)) lines.push(`${limitName(name, of)}: ${boundWords(bound)}`);
  }
  for (const [key, said] of Object.entries(asked.parts)) {
    for (const [name, one] of Object.entries(said)) lines.push(partWords(key, name, one));
  }
  for (const name of asked.off) lines.push(`without the limit ${name}`);
  for (const rule of asked.rules) lines.push(`new limit ${rule.name}: ${boundWords(rule)}`);
  return lines;
}
