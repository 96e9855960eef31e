// The first view: a card's name, one sentence, what is new since last time, what is undecided, themes, money.
import { html, useState } from "../vendor/preact.js";
import { today } from "./hand-out.js";
import { count, folded, lastPart, money, placeOf, plain, ranged, signed } from "./numbers.js";
import { Share } from "./pictures.js";
import { lossOf, reasonsWord } from "./reasons.js";
import { priceDates } from "./sources.js";
import { causeOf, keyOf, newSwaps } from "./swaps.js";
import { bought, tallyMoney, tallyThemes } from "./tally.js";
import { CardName, Colours, inColumns, More, PartName, Table, themeNote, ThemeNote, typed, useStore } from "./widgets.js";

/** The box for a card's name; what fits is offered below it. */
export function CardBox() {
  const store = useStore();
  const [text, setText] = useState("");
  const wanted = folded(text);
  const found = wanted ? [...store.byFolded].filter(([name]) => name.includes(wanted)).sort(([a], [b]) => Number(!a.startsWith(wanted)) - Number(!b.startsWith(wanted))) : [];
  const open = (/** @type {string} */ name) => {
    setText("");
    store.look(name);
  };
  const submit = (/** @type {Event} */ event) => {
    event.preventDefault();
    const exact = store.cardNamed(text);
    if (exact) open(exact.name);
    else if (found.length) open(found[0][1]);
    else store.tell(`No card is called ${text}.`);
  };
  const pool = store.pool;
  return html`<form class="card-box" role="search" onSubmit=${submit}>
    <label for="card-box">Look at a card</label>
    <input id="card-box" type="search" autocomplete="off" spellcheck=${false} placeholder="a card's name" value=${text} onInput=${typed(setText)} />
    ${wanted ? html`<ul class="found" aria-label="Cards of that name">
      ${found.slice(0, 8).map(([, name]) => html`<li><button type="button" onClick=${() => open(name)}>${name} <span class="quiet">${pool.has(name) ? "in" : "out"}</span></button></li>`)}
      ${found.length === 0 ? html`<li class="quiet">No card is called that.</li>` : found.length > 8 ? html`<li class="quiet">and ${found.length - 8} more</li>` : null}
    </ul>` : null}
  </form>`;
}

/** Cards, money, limits, prices, how good: one sentence each. */
export function Sentence() {
  const store = useStore();
  const answer = store.answer;
  const spending = answer.money || {};
  const cap = spending.cap ?? undefined; // in force
  const limit = (answer.rules || []).find((rule) => rule.kind === "cap");
  const left = spending.left ?? null;
  const held = left === null || !limit ? 0 : left - limit.slack; // for prices that may rise
  const dates = store.priced ? priceDates(toBuy(store)) : "No card has a price.";
  const spent = store.priced || cap !== undefined ? `, ${money(answer.cost)} to buy${spending.cap_counts === "paid and to buy" ? ` and ${money(spending.paid)} paid` : ""}` : "";
  const whole = cap !== undefined && spending.cap_stated > cap ? `; the cap is ${money(spending.cap_stated)} less headroom` : "";
  if (!store.pool.size) return html`<p class="sentence"><strong>${answer.status === "infeasible" ? "No pool meets all limits" : "No pool was found before the search ended; there may be one"}.</strong> ${answer.status === "infeasible" ? "What stands in the way, and the least that mends it, stands under Try." : ""}</p>`;
  return html`<p class="sentence">
    <strong>${count(answer.size || store.pool.size, "card")}${spent}</strong>${cap === undefined ? "" : left !== null && left > 0.004 ? ` of ${money(cap)} (${money(left)} left${held > 0.004 ? `, ${money(held)} of it for prices that may rise` : ""}${whole})` : ` of ${money(cap)} (nothing left${whole})`};
    ${" "}${answer.limits_met}.
    ${" "}${goodness(answer)} <span class="quiet">${dates}</span></p>`;
}

/** What was noticed in the files while they were read, as the command line tells it. */
export function Remarks() {
  const { answer } = useStore();
  const notices = answer.notices || [];
  if (!notices.length) return null;
  return html`<${More} title=${`${count(notices.length, "remark")} on the files`}><ul>${notices.map((one) => html`<li>${one.text} <span class="quiet">${lastPart(placeOf(one))}</span></li>`)}</ul></${More}>`;
}

/** Cards of the pool that must be bought. @param {import("./store.js").Store} store */
function toBuy(store) {
  return [...store.pool].flatMap(([name, copies]) => {
    const card = store.cards.get(name);
    return card && bought(card, copies) ? [card] : [];
  });
}

/** A gap in percent: with four decimals, as it is given, so that a small one is not none. @param {number} gap */
function shareOf(gap) {
  return String(Math.round(gap * 1e6) / 1e4);
}

/** How good a pool is, as far as it is proven. @param {import("./types.js").Answer} answer */
export function goodness(answer) {
  if (answer.status === "best") return `Fit ${plain(answer.fit)}: proven that no pool within these limits has more.`;
  const share = answer.gap === undefined ? "" : ` (${shareOf(answer.gap)}%)`;
  return `Fit ${plain(answer.fit)}: at most ${plain((answer.bound || 0) - (answer.fit || 0))}${share} less than the best.`;
}

/** At most five single swaps, each to take, to leave for later, or never to see again. */
export function SinceLastTime() {
  const store = useStore();
  const { swaps, words } = newSwaps(store);
  return html`<section aria-labelledby="since"><h2 id="since">Since last time</h2>
    ${words ? html`<p>${words.split("(see Changes)").map((piece, at) => html`${at ? html`(see <${PartName} id="changes" title="Changes" />)` : null}${piece}`)}</p>` : null}
    ${swaps.length ? html`<ol class="swaps">${swaps.map((swap) => html`<${SwapLine} key=${keyOf(swap)} swap=${swap} />`)}</ol>` : null}
    <${Marked} /></section>`;
}

/** @param {{swap: import("./swaps.js").Swap}} props */
function SwapLine({ swap }) {
  const store = useStore();
  const [asking, ask] = useState(false);
  const [because, setBecause] = useState("");
  const key = keyOf(swap);
  const never = (/** @type {Event} */ event) => {
    event.preventDefault();
    store.refuse(swap, because);
  };
  return html`<li>
    <p><${CardName} name=${swap.enter} /> in, <${CardName} name=${swap.leave} /> out${swap.gain === undefined ? "" : `: ${signed(swap.gain)} fit, ${signed(swap.spent ?? 0, money)} of money`}. <span class="quiet">${causeOf(swap, store)}</span></p>
    <p class="buttons">
      <button type="button" onClick=${() => store.mark(key, { mark: "taken", date: today(), because: causeOf(swap, store), swap: { enter: swap.enter, leave: swap.leave } })}>Take</button>
      <button type="button" onClick=${() => store.mark(key, { mark: "later", swap: { enter: swap.enter, leave: swap.leave } })}>Later</button>
      <button type="button" aria-expanded=${asking} onClick=${() => ask(!asking)}>Never, because ...</button></p>
    ${asking ? html`<form class="row" onSubmit=${never}><label>Because <input required value=${because} onInput=${typed(setBecause)} /></label><button type="submit">Never</button></form>` : null}
  </li>`;
}

/** What was decided about swaps, so that it can be taken back. */
function Marked() {
  const store = useStore();
  const marks = Object.entries(store.marks);
  if (!marks.length) return null;
  const words = { taken: "taken", later: "later", never: "never" };
  return html`<ul class="marked" aria-label="Decided">${marks.map(([key, mark]) => html`<li>${words[mark.mark]}: ${key}${mark.because ? `, because ${mark.because}` : ""} <button type="button" class="small" aria-label=${`Decide again: ${key}`} onClick=${() => store.mark(key, null)}>decide again</button></li>`)}</ul>`;
}

/** Wishes nearly in, and scores that matter. */
export function Undecided() {
  const store = useStore();
  const answer = store.answer;
  const near = [...(answer.wishes_out || [])].filter((card) => card.loss && !card.impossible && !card.banned).sort((a, b) => lossOf(a) - lossOf(b)).slice(0, 5);
  const matter = (answer.firmness?.cards || []).filter((card) => card.score_matters === "yes").sort((a, b) => lossOf(a) - lossOf(b)).slice(0, 5);
  const out = (answer.wishes || []).filter((wish) => !wish.in).length;
  return html`<section aria-labelledby="undecided"><h2 id="undecided">Undecided</h2>
    ${near.length ? html`<ul class="plain">${near.map((card) => html`<li><${CardName} name=${card.name} />, a wish. ${(card.text || [])[0]}</li>`)}</ul>` : null}
    ${matter.length ? html`<ul class="plain">${matter.map((card) => html`<li>The score of <${CardName} name=${card.name} /> decides whether it is ${card.in ? "in" : "out"}${(card.loss?.at_least ?? 0) > 0 || (card.loss?.at_most ?? 0) > 0 ? ` (${ranged(card.loss)} fit)` : `: a pool ${card.in ? "without" : "with"} it ${card.loss?.at_most === 0 ? "is" : "may be"} just as good`}.</li>`)}</ul>` : null}
    ${!near.length && !matter.length ? html`<p>${out && !answer.wishes_out ? `${count(out, "wish", "wishes")} out; ${reasonsWord(store)}.` : "Nothing: no wish is nearly in."}</p>` : null}
    ${out > near.length && near.length ? html`<p class="quiet">${count(out - near.length, "more wish", "more wishes")} out: see <${PartName} id="wishes" title="Wishes" />.</p>` : null}</section>`;
}

/** A line for each theme, the weakest first. */
export function ThemeLines() {
  const store = useStore();
  const last = (/** @type {string} */ name) => Number(themeNote(store.answer, name) === "not chosen");
  const themes = tallyThemes(store.pool, store.cards, store.model).sort((a, b) => last(a.name) - last(b.name) || a.strength - b.strength);
  if (!themes.length) return null;
  const most = Math.max(...themes.map((theme) => theme.strength), 1);
  return html`<section aria-labelledby="theme-lines"><h2 id="theme-lines">Themes, the weakest first</h2>
    <${Table} caption="Themes by strength" hideCaption rows=${themes} columns=${inColumns([
      { title: "Theme", show: (row) => html`${row.name}<${ThemeNote} name=${row.name} />` },
      { title: "Colours", show: (row) => html`<${Colours} colours=${row.colours.length === store.model.colours.length && row.colours.length > 2 ? "all colours" : row.colours.join("+")} />`, kind: "roomy" },
      { title: "Enablers", number: true, show: (row) => row.enablers },
      { title: "Payoffs", number: true, show: (row) => row.payoffs },
      { title: "Strength", number: true, show: (row) => plain(row.strength) },
      { title: "Beside the strongest", kind: "roomy", show: (row) => html`<${Share} share=${row.strength / most} />` },
    ])} /></section>`;
}

/** Where the money goes. */
export function MoneyLines() {
  const store = useStore();
  const lines = tallyMoney(store.pool, store.cards, store.model);
  const total = lines.reduce((sum, line) => sum + line.sum, 0);
  return html`<section aria-labelledby="money-lines"><h2 id="money-lines">Money by section</h2>
    <${Table} caption="Money by section" hideCaption rows=${lines} columns=${inColumns([
      { title: "Section", show: (row) => (store.model.colours.includes(row.section) ? html`<${Colours} colours=${row.section} />` : row.section) },
      { title: "Cards", number: true, show: (row) => row.cards },
      { title: "To buy", number: true, show: (row) => row.buy },
      { title: "Money", number: true, show: (row) => money(row.sum) },
      { title: "Share", kind: "roomy", show: (row) => html`<${Share} share=${total ? row.sum / total : 0} />` },
      { title: "Dearest", kind: "roomy", show: (row) => (row.dearest ? html`<${CardName} name=${row.dearest.name} /> ${money(row.dearest.price)}` : "") },
    ])} /></section>`;
}
