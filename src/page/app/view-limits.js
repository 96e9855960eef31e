// Limits: how much is left, what one more would bring; changed, loosened, switched off; what is only watched; a new one by a form.
import { html, useEffect, useState } from "../vendor/preact.js";
import { boundWords, limitName, withCard, withOff, withoutRule, withRule, withWeight } from "./asked.js";
import { canChange, changed, changeLimit, looser, movable, numbersOf, offFor, switchOff } from "./limits.js";
import { count, lastPart, own, placeOf, problemWords, ranged } from "./numbers.js";
import { CardNames, inColumns, NumberField, Part, Table, typed, useStore } from "./widgets.js";

/** @typedef {import("./types.js").LimitUse} LimitUse */

/** Which limits are listed. @type {[string, string][]} */
const LISTS = [["costs", "those that cost fit"], ["tight", "the tight ones"], ["all", "all, also keeps and bans"]];

/** Limits: those that cost fit first, the others by choice. */
export function LimitsPart() {
  const store = useStore();
  const steps = (store.answer.binding || []).filter((one) => one.kind === "step");
  const costly = (/** @type {LimitUse} */ rule) => steps.some((one) => isOf(one, rule));
  const [list, choose] = useState("");
  const [wanted, want] = useState("");
  const [open, show] = useState("");
  const key = (/** @type {LimitUse} */ rule) => `${rule.kind} ${limitName(rule.name, rule.of)}`;
  const rules = /** @type {LimitUse[]} */ (store.answer.rules || store.model.limits || []).filter((rule) => rule.counts !== false); // without a pool, as the model has them
  const tight = rules.filter((rule) => rule.slack !== undefined && (rule.left === "tight" || rule.slack < 0 || isUsedUp(rule)) && rule.kind !== "keep" && rule.kind !== "ban");
  const listed = store.printing ? "tight" : list || (steps.length ? "costs" : store.answer.rules ? "tight" : "all");
  const word = wanted.toLowerCase();
  const among = (/** @type {LimitUse} */ rule) => (word || listed === "all" ? limitName(rule.name, rule.of).toLowerCase().includes(word) : listed === "tight" ? tight.includes(rule) : costly(rule) || changed(store, rule));
  const shown = rules.filter((rule) => open === key(rule) || among(rule)); // what is being changed stays
  const worth = (/** @type {LimitUse} */ rule) => (store.answer.binding || []).filter((one) => isOf(one, rule));
  const watched = store.answer.watches?.rules || [];
  return html`<${Part} id="limits" title="Limits" note=${`${rules.length}, ${tight.length} of them tight${watched.length ? `; ${watched.length} watched, ${watched.filter(isOutside).length} outside` : ""}`}>
    <p class="row"><label>Show <select value=${listed} onChange=${typed(choose)}>${LISTS.map(([key, text]) => html`<option value=${key}>${text}</option>`)}</select></label>
      <label>or those called <input type="search" value=${wanted} onInput=${typed(want)} /></label></p>
    <${Table} caption="What must hold, and how much is left" keyOf=${key} below=${(/** @type {LimitUse} */ rule) => (open === key(rule) ? html`<${LimitForm} rule=${rule} done=${() => show("")} />` : null)} rows=${shown} columns=${inColumns([
      { title: "Limit", sort: (row) => limitName(row.name, row.of), show: (row) => html`${limitTitle(row)}<span class="source">${lastPart(placeOf(row))}</span>` },
      { title: "Asked", show: (row) => row.asks },
      { title: "Has", number: true, show: (row) => row.has || "" },
      { title: "Left", number: true, sort: (row) => row.slack, show: (row) => row.left ?? (row.slack === undefined ? "" : "broken") },
      { title: "One more would bring", show: (row) => html`<${Worth} sides=${worth(row)} />` },
      { title: "Change", kind: "press", show: (row) => html`<${LimitChange} rule=${row} open=${open === key(row)} toggle=${() => show(open === key(row) ? "" : key(row))} />` },
    ])} />
    ${store.step.asked.off.length ? html`<p>Switched off: ${store.step.asked.off.map((name) => html`${name} <button type="button" class="small" onClick=${() => store.attempt(`limit ${name} holds again`, withOff(store.step.asked, name, false))}>holds again</button> `)}</p>` : null}
    ${store.step.asked.rules.length ? html`<p>New: ${store.step.asked.rules.map((rule) => html`${rule.name} (${boundWords(rule)}) <button type="button" class="small" onClick=${() => store.attempt(`without the limit ${rule.name}`, withoutRule(store.step.asked, rule.name))}>take away</button> `)}</p>` : null}
    ${watched.length ? html`<${Table} caption="Watched: only counted, nothing has to keep them" rows=${watched.filter((rule) => limitName(rule.name, rule.of).toLowerCase().includes(word))} keyOf=${key} columns=${inColumns([
      { title: "Watched", sort: (row) => limitName(row.name, row.of), show: (row) => html`${limitName(row.name, row.of)}<span class="source">${lastPart(placeOf(row))}</span>` },
      { title: "Band", show: (row) => row.asks },
      { title: "Has", number: true, show: (row) => row.has },
      { title: "Within", show: (row) => (row.counts === false ? "does not count here" : row.within ? "yes" : "outside its band") },
    ])} />` : null}
    <${NewLimit} />
  </${Part}>`;
}

/** Of an explanation's side: whether it is one of this limit. @param {import("./types.js").LimitRef} side @param {LimitUse} rule */
function isOf(side, rule) {
  return side.limit_kind === rule.kind && side.name === rule.name && (side.of || "") === (rule.of || "");
}

/** As `best` has it: of the cap a hundredth at most is left. @param {LimitUse} rule */
function isUsedUp(rule) {
  return rule.kind === "cap" && Math.round(100 * (rule.slack ?? 0)) * 100 <= Math.round(100 * (rule.limit?.at_most ?? 0));
}

/** @param {import("./types.js").Watch} rule */
function isOutside(rule) {
  return rule.counts !== false && !rule.within;
}

/** @param {LimitUse} rule */
function limitTitle(rule) {
  if (rule.kind === "size") return "size of the pool";
  if (rule.kind === "keep") return `keep ${rule.name}`;
  if (rule.kind === "ban") return `ban ${rule.name}`;
  return limitName(rule.name, rule.of);
}

/** What loosening a limit is worth. @param {{sides: import("./types.js").LimitRef[]}} props */
function Worth({ sides }) {
  return html`${sides.map((side) => (side.kind === "step"
    ? html`<div>${side.loosened}: +${ranged(side.gain)} fit ${moved(side) ? html`<details class="more"><summary>cards</summary>In: <${CardNames} cards=${side.enters} />; out: <${CardNames} cards=${side.leaves} /></details>` : html`<span class="quiet">the same pool</span>`}</div>`
    : html`<div class="quiet">${side.loosened}</div>`))}`;
}

/** @param {import("./types.js").LimitRef} side */
function moved(side) {
  return (side.enters || []).length + (side.leaves || []).length > 0;
}

/** What can be done to a limit: lifted at once, or changed by a form below its line. @param {{rule: LimitUse, open: boolean, toggle: () => void}} props */
function LimitChange({ rule, open, toggle }) {
  const store = useStore();
  if (!store.ready) return null;
  const asked = store.step.asked;
  if (rule.kind === "keep" || rule.kind === "ban") {
    return html`<button type="button" class="small" aria-label=${`Lift: ${rule.kind} ${rule.name}`} onClick=${() => store.attempt(`free ${rule.name}`, withCard(asked, rule.name, own(asked.cards, rule.name) ? null : "free"))}>lift</button>`;
  }
  if (!canChange(rule)) return null;
  return html`<button type="button" class="small" aria-expanded=${open} aria-label=${`Change ${limitName(rule.name, rule.of)}`} onClick=${toggle}>change</button>`;
}

/** @param {{rule: LimitUse, done: () => void}} props */
function LimitForm({ rule, done }) {
  const store = useStore();
  const [texts, setTexts] = useState(/** @type {Record<string, string>} */ ({}));
  const keys = movable(rule);
  const percent = rule.unit === "percent";
  const name = limitName(rule.name, rule.of);
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    done();
    changeLimit(store, rule, Object.fromEntries(keys.map((key) => [key, Number(texts[key] ?? numbersOf(rule)[key])])));
  };
  return html`<form class="limit-form" aria-label=${name} onSubmit=${submit}>
    ${keys.map((key) => html`<label>${key.replaceAll("_", " ")} <input type="number" step="any" required value=${texts[key] ?? numbersOf(rule)[key]} onInput=${typed((value) => setTexts({ ...texts, [key]: value }))} />${percent ? " %" : ""}</label>`)}
    ${keys.length ? html`<button type="submit">Solve again</button><button type="button" onClick=${() => changeLimit(store, rule, looser(rule), "loosen")}>One looser</button>` : null}
    ${rule.kind === "size" ? null : html`<button type="button" onClick=${() => switchOff(store, rule)}>Switch off${offFor(store.model, rule)}</button>`}
  </form>`;
}

/** A theme's weight, to be moved. @param {{theme: {name: string, weight: number}}} props */
export function ThemeWeight({ theme }) {
  const store = useStore();
  const weight = own(store.step.asked.weights, theme.name) ?? theme.weight;
  return html`<${NumberField} class="short" min="0" step="0.25" aria-label=${`Weight of ${theme.name}`} disabled=${!store.ready} value=${weight} set=${(/** @type {string} */ text) => {
    const value = Number(text);
    if (text !== "" && value >= 0 && value !== weight) store.attempt(`${theme.name} weighs ${value}`, withWeight(store.step.asked, theme.name, value));
  }} />`;
}

/** Fields of which a number is compared. */
const NUMBERS = ["cost", "power", "price", "fit", "weight", "copies", "playable", "themes"];

/** A new limit: for each of what, which cards, counting what, how many. What it counts is shown at once. */
function NewLimit() {
  const store = useStore();
  const [each, setEach] = useState("");
  const [name, setName] = useState("");
  const [parts, setParts] = useState(/** @type {{field: string, value: string, from: string, to: string}[]} */ ([{ field: "class", value: "mono", from: "", to: "" }]));
  const [measure, setMeasure] = useState("count");
  const [least, setLeast] = useState("");
  const [most, setMost] = useState("");
  const [percent, setPercent] = useState(false);
  const [counted, setCounted] = useState(/** @type {any} */ (null));
  const rule = newRule({ name: name || "new limit", each, parts, measure, least, most, percent });
  const asked = JSON.stringify(rule);
  useEffect(() => {
    if (!store.ready) return;
    let current = true;
    const timer = setTimeout(() => store.beside({ ask: "count", rule: JSON.parse(asked), from: store.from }).then((answer) => current && answer && setCounted(answer)), 300);
    return () => {
      current = false;
      clearTimeout(timer);
    };
  }, [asked, store.shownStep, store.ready]);
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    store.attempt(`new limit ${rule.name}: ${boundWords(rule)}`, withRule(store.step.asked, rule));
  };
  const columns = store.model.columns || [];
  const fields = [...(store.model.fields || []).map((one) => one.name), ...columns];
  const measures = [...(store.model.measures || []).map((one) => one.name), ...columns];
  const change = (/** @type {number} */ at, /** @type {any} */ patch) => setParts(parts.map((part, other) => (other === at ? { ...part, ...patch } : part)));
  return html`<form class="new-limit" onSubmit=${submit} aria-labelledby="new-limit"><h3 id="new-limit">A new limit</h3>
    <fieldset disabled=${!store.ready}><legend class="unseen">A new limit</legend>
    <p class="row"><label>Called <input required value=${name} onInput=${typed(setName)} /></label>
      <label>for each <select value=${each} onChange=${typed(setEach)}><option value="">(the whole pool)</option>${(store.model.each || []).map((one) => html`<option value=${one}>${one}</option>`)}</select></label></p>
    ${parts.map((part, at) => html`<p class="row" role="group" aria-label=${`Which cards, part ${at + 1}`}>
      <label>${at ? "and whose" : "cards whose"} <select value=${part.field} onChange=${typed((value) => change(at, { field: value, value: "", from: "", to: "" }))}>${fields.map((/** @type {string} */ field) => html`<option value=${field}>${field}</option>`)}</select></label>
      ${NUMBERS.includes(part.field)
        ? html`<label>from <input type="number" step="any" class="short" value=${part.from} onInput=${typed((value) => change(at, { from: value }))} /></label><label>to <input type="number" step="any" class="short" value=${part.to} onInput=${typed((value) => change(at, { to: value }))} /></label>`
        : html`<label>is <${FieldValue} field=${part.field} value=${part.value} set=${(/** @type {string} */ value) => change(at, { value })} /></label>`}
      ${parts.length > 1 ? html`<button type="button" class="small" aria-label=${`Without part ${at + 1}`} onClick=${() => setParts(parts.filter((_, other) => other !== at))}>without</button>` : null}</p>`)}
    <p><button type="button" class="small" onClick=${() => setParts([...parts, { field: "cost", value: "", from: "", to: "" }])}>and ...</button></p>
    <p class="row"><label>counting <select value=${measure} onChange=${typed(setMeasure)}>${measures.map((/** @type {string} */ one) => html`<option value=${one}>${one === "count" ? "cards" : one}</option>`)}</select></label>
      <label>at least <input type="number" step="any" class="short" value=${least} onInput=${typed(setLeast)} /></label>
      <label>at most <input type="number" step="any" class="short" value=${most} onInput=${typed(setMost)} /></label>
      <label><input type="checkbox" checked=${percent} onChange=${(/** @type {any} */ event) => setPercent(event.currentTarget.checked)} /> percent of the pool</label>
      <button type="submit" disabled=${least === "" && most === ""}>Solve with it</button></p>
    <${Counted} counted=${counted} /></fieldset></form>`;
}

/** A value to choose where the values are known. @param {{field: string, value: string, set: (value: string) => void}} props */
function FieldValue({ field, value, set }) {
  const store = useStore();
  const told = store.model.fields?.find((one) => one.name === field);
  if (!told?.values || field === "colours") return html`<input value=${value} onInput=${typed(set)} />`;
  return html`<select value=${value} onChange=${typed(set)}><option value="">...</option>${told.values.map((one) => html`<option value=${one}>${one}</option>`)}</select>`;
}

/** What the form says, as a rule in YAML says it. @param {any} form */
export function newRule({ name, each, parts, measure, least, most, percent = false }) {
  /** @type {Record<string, any>} */
  const where = {};
  for (const part of parts) {
    if (NUMBERS.includes(part.field)) {
      if (part.from !== "" || part.to !== "") where[part.field] = { ...(part.from !== "" ? { from: Number(part.from) } : {}), ...(part.to !== "" ? { to: Number(part.to) } : {}) };
    } else if (part.value.trim()) where[part.field] = spanned(part.value.trim());
  }
  /** @type {Record<string, any>} */
  const rule = { name: name.trim() };
  if (each) rule.each = each;
  if (Object.keys(where).length) rule.where = where;
  if (measure !== "count") rule.measure = measure;
  const bound = (/** @type {string} */ text) => (percent ? `${Number(text)}%` : Number(text));
  if (least !== "" && least === most) rule.exactly = bound(least);
  else {
    if (least !== "") rule.at_least = bound(least);
    if (most !== "") rule.at_most = bound(most);
  }
  return rule;
}

/** "2..4" as a span of numbers, anything else as it stands: columns of the user's may hold either. @param {string} text */
function spanned(text) {
  const found = /^(-?\d+(?:\.\d+)?)?\.\.(-?\d+(?:\.\d+)?)?$/.exec(text);
  if (!found || (found[1] === undefined && found[2] === undefined)) return text;
  return { ...(found[1] !== undefined ? { from: Number(found[1]) } : {}), ...(found[2] !== undefined ? { to: Number(found[2]) } : {}) };
}

/** @param {{counted: any}} props */
function Counted({ counted }) {
  if (!counted) return html`<p class="quiet" aria-live="polite">What it counts is shown here.</p>`;
  if (counted.error) return html`<p class="problem" aria-live="polite">${problemWords(counted.error)}</p>`;
  const members = counted.members;
  if (members.length === 1) return html`<p aria-live="polite">It counts ${count(members[0].candidates, "candidate")}; ${members[0].in_pool} of the pool.</p>`;
  return html`<div aria-live="polite"><${Table} caption="What it counts" rows=${members} columns=${inColumns([
    { title: "For", show: (row) => row.of || "all" },
    { title: "Candidates", number: true, show: (row) => row.candidates },
    { title: "In the pool", number: true, show: (row) => row.in_pool },
  ])} /></div>`;
}
