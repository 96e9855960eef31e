// What can be done to a limit, whatever kind it is of: changed, loosened by one, switched off; and the unit that it is written in.
import { boundWords, limitName, partWords, withBound, withCap, withOff, withPart, withSize } from "./asked.js";
import { count, money, own } from "./numbers.js";

/** @typedef {import("./types.js").LimitUse} LimitUse */
/** @typedef {import("./types.js").Model} Model */
/** @typedef {import("./store.js").Store} Store */

/** Limits that are no rules and are changed by a name: the key of a model that has them. @type {Record<string, string>} */
const PARTS = { needs: "needs", apart: "apart", group: "groups", places: "places", choice: "choose", "enablers per payoff": "engines" };

/** The choice that a limit belongs to: it has one for each pair. @param {Model} model @param {LimitUse} rule */
function choiceOf(model, rule) {
  return (model.limits || []).find((one) => one.kind === "choice" && one.name === rule.name && one.of === rule.of)?.choose;
}

/** By what a change names the limit: choices have one name for all their pairs, bands of enablers are the theme's. @param {Model} model @param {LimitUse} rule */
function partName(model, rule) {
  if (rule.kind === "choice") return choiceOf(model, rule) || "themes";
  if (rule.kind === "places") return "places";
  return rule.kind === "enablers per payoff" ? rule.of : rule.name;
}

/** Whether it has a bound that can be moved, or can be switched off. @param {LimitUse} rule */
export function canChange(rule) {
  return ["rule", "cap", "size"].includes(rule.kind) || !!(PARTS[rule.kind] && rule.name);
}

/** Its bounds that are numbers, as a model says them: the cap before headroom and what was paid; a lower one may be told as a chance besides. @param {LimitUse} rule @returns {Record<string, number>} */
export function numbersOf(rule) {
  if (rule.written !== undefined) return { at_most: rule.written };
  return Object.fromEntries(Object.entries(rule.limit).filter(([, value]) => typeof value === "number"));
}

/** The cap as a model says it, before headroom and what was paid. @param {import("./types.js").Answer | null | undefined} answer */
export function writtenCap(answer) {
  return (answer?.rules || []).find((rule) => rule.kind === "cap")?.written;
}

/** Which of its bounds are moved by the form. @param {LimitUse} rule */
export function movable(rule) {
  return rule.kind === "places" ? [] : Object.keys(numbersOf(rule));
}

/** For how many it is switched off, where that is more than the line says. @param {Model} model @param {LimitUse} rule */
export function offFor(model, rule) {
  if (rule.kind === "places") return ", all places";
  if (rule.kind === "rule" && rule.of) return ", for all";
  return rule.kind === "choice" && (model.limits || []).filter((one) => one.kind === "choice" && one.choose === choiceOf(model, rule)).length > 1 ? ", for all pairs" : "";
}

/** Whether the present state asks something else of a limit. @param {Store} store @param {LimitUse} rule */
export function changed(store, rule) {
  const { bounds, parts, cap, size } = store.step.asked;
  if (rule.kind === "cap") return cap !== undefined;
  if (rule.kind === "size") return size !== undefined;
  return !!(PARTS[rule.kind] ? own(parts[PARTS[rule.kind]], partName(store.model, rule)) : own(bounds, rule.name));
}

/** @param {Store} store @param {LimitUse} rule */
export function switchOff(store, rule) {
  const asked = store.step.asked;
  if (rule.kind === "cap") return store.attempt("no cap", withCap(asked, null));
  if (rule.kind === "rule") return store.attempt(`without the limit ${rule.name}`, withOff(asked, rule.name, true));
  const name = partName(store.model, rule);
  const said = rule.kind === "enablers per payoff" ? engineOf(store.model, name, null) : { off: "yes" };
  store.attempt(partWords(PARTS[rule.kind], name, said), withPart(asked, PARTS[rule.kind], name, said));
}

/** A limit's bounds with one unit of room more on each side; a twentieth more for money. @param {LimitUse} rule */
export function looser(rule) {
  /** @type {Record<string, number>} */
  const bound = {};
  const fine = rule.kind === "enablers per payoff" || Object.keys(rule.limit).some((key) => key.startsWith("average"));
  const unit = rule.kind === "cap" ? Math.max(1, Math.round((numbersOf(rule).at_most || 0) / 20)) : fine ? 0.05 : 1;
  for (const [key, value] of Object.entries(numbersOf(rule))) bound[key] = Math.round((key.endsWith("at_least") ? Math.max(0, value - unit) : value + unit) * 1000) / 1000;
  return bound;
}

/** @param {Store} store @param {LimitUse} rule @param {Record<string, number>} bound @param {string} [word] */
export function changeLimit(store, rule, bound, word) {
  const { model } = store;
  const asked = store.step.asked;
  if (rule.kind === "cap") return store.attempt(`cap ${money(bound.at_most)}`, withCap(asked, bound.at_most));
  if (rule.kind === "size") return store.attempt(count(bound.at_most, "card"), withSize(asked, bound.at_most));
  const label = `${word ? `${word} ` : ""}${limitName(rule.name, rule.of)}: ${boundWords(bound, rule.unit)}`;
  if (rule.kind === "enablers per payoff") return store.attempt(label, withPart(asked, "engines", rule.of, engineOf(model, rule.of, bound)));
  if (PARTS[rule.kind]) return store.attempt(label, withPart(asked, PARTS[rule.kind], partName(model, rule), bound));
  /** @type {Record<string, any>} */
  const written = Object.fromEntries(Object.entries(bound).map(([key, value]) => [key, rule.unit === "percent" ? `${value}%` : value]));
  store.attempt(label, withBound(asked, rule.name, rule.of, exactWhereAlike(written)));
}

/** A theme's engine with another band, or without one: a change replaces engines as a whole. @param {Model} model @param {string} theme @param {Record<string, number> | null} band */
function engineOf(model, theme, band) {
  const { bonus = 0, ratio = 1 } = model.themes.find((one) => one.name === theme)?.engine || {};
  if (!band && !bonus) return { off: "yes" };
  const bounds = band && { ...(band.at_least !== undefined ? { from: band.at_least } : {}), ...(band.at_most !== undefined ? { to: band.at_most } : {}) };
  return { bonus, ratio, ...(bounds ? { enablers_per_payoff: bounds } : {}) };
}

/** Two bounds that meet are written as one. @param {Record<string, any>} bound */
function exactWhereAlike(bound) {
  return bound.at_least !== undefined && bound.at_least === bound.at_most ? { exactly: bound.at_least } : bound;
}
