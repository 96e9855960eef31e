// What was changed, as YAML.
import { caseCardsOf, changeOf } from "./asked.js";

/** @typedef {import("./types.js").Asked} Asked */

/** A value as YAML on one line. @param {any} value @returns {string} */
export function yaml(value) {
  if (Array.isArray(value)) return `[${value.map(yaml).join(", ")}]`;
  if (value && typeof value === "object") {
    return `{${Object.entries(value).map(([key, one]) => `${yamlText(key)}: ${yaml(one)}`).join(", ")}}`;
  }
  return typeof value === "string" ? yamlText(value) : String(value);
}

/** Plain where that is safe, else in double quotes. @param {string} text */
function yamlText(text) {
  return /^[\p{L}][\p{L}\p{N} _.%-]*$/u.test(text) && text === text.trim() ? text : JSON.stringify(text);
}

/** The changes to put into a scenario, a key a line. @param {Asked} asked */
export function changesYaml(asked) {
  const change = changeOf(asked);
  const cards = Object.entries(caseCardsOf(asked));
  if (!Object.keys(change).length && !cards.length && !asked.base) return "# Nothing was changed.\n";
  const lines = asked.base ? [`# All this comes on top of the case ${yaml(asked.base)}.`] : [];
  if (Object.keys(change).length) lines.push("# Put this under `change:` of the scenario (or of a case).", "change:");
  for (const [key, value] of Object.entries(change)) {
    if (Array.isArray(value)) lines.push(`  ${key}:`, ...value.map((one) => `    - ${yaml(one)}`));
    else if (key === "spending_cap" && typeof value === "number") lines.push(`  ${key}: ${value.toFixed(2)}`);
    else lines.push(`  ${key}: ${yaml(value)}`);
  }
  if (cards.length) lines.push("# Other prices and powers, and keeps and bans lifted: in a case under `cards:`, or change the sheets.", "cards:");
  for (const [name, values] of cards) lines.push(`  ${yaml(name)}: ${yaml(values)}`);
  return lines.join("\n") + "\n";
}

/** A state as one of the scenario's cases. @param {string} name @param {Asked} asked */
export function caseYaml(name, asked) {
  const cards = caseCardsOf(asked);
  return `${asked.base ? `  # On top of the case ${yaml(asked.base)}, whose changes it must repeat.\n` : ""}  - ${yaml({ name, change: changeOf(asked), ...(Object.keys(cards).length ? { cards } : {}) })}\n`;
}
