// At the seats: what the drafter of each theme sees of the shown pool, which one will be short, of what.
import { html } from "../vendor/preact.js";
import { count, listed, percent, problemWords, tenths } from "./numbers.js";
import { SeenBars } from "./pictures.js";
import { inColumns, More, Part, Table, useStore } from "./widgets.js";

/** @typedef {import("./types.js").Seats} Seats */

/** Follows the pool: what the engine says of it, as soon as it says it. */
export function SeatsPart() {
  const store = useStore();
  const { seats } = store;
  if (!seats && !(store.ready && store.model.seats)) return null;
  if (!seats || seats.error) return html`<${Part} id="seats" title="At the seats" note=""><p>${seats?.error ? problemWords(seats.error) : store.reasons.running === "seats" ? "Being counted ..." : "Not counted for this pool."}</p></${Part}>`;
  const [first] = seats.themes;
  return html`<${Part} id="seats" title="At the seats" note=${seats.short_first ? `short first: ${first.theme}, of ${first.short_of}` : ""}>
    <${Sitting} seats=${seats} />
    ${first ? html`<${Themes} seats=${seats} />` : null}
    ${seats.together.length ? html`<${Together} seats=${seats} />` : null}
    <p class="quiet">Chances are exact. What passes a seat is counted as if all picks were at random; who drafts a theme at a table where others want it too gets less.</p>
  </${Part}>`;
}

/** Who sits down, and how much each sees. @param {{seats: Seats}} props */
function Sitting({ seats }) {
  const { drawn } = seats;
  const says = useStore().model.seats?.seats;
  return html`<p class="quiet">${count(seats.seats, "seat")}, ${count(seats.packs, "pack")} of ${seats.pack_size} each: a seat opens ${drawn.opens} cards, and ${drawn.sees} pass it.
    ${seats.seats < says ? ` The model says ${says} seats; the pool serves ${seats.seats}.` : ""}${drawn.dealt < seats.pool ? ` ${drawn.dealt} of the ${seats.pool} cards are dealt.` : ""}</p>`;
}

/** The theme that is short first in words; all of them as a table, as pictures, and those as a table. @param {{seats: Seats}} props */
function Themes({ seats }) {
  const [first] = seats.themes;
  const pictured = seats.themes.filter((theme) => theme.short_of); // the others have no candidate with a role, or are not chosen
  const mean = (/** @type {"pack" | "opens" | "sees"} */ by) => ({ number: true, sort: (/** @type {any} */ row) => row.cards[by].mean, show: (/** @type {any} */ row) => tenths(row.cards[by].mean) });
  return html`${(seats.text || []).map((line) => html`<p>${line}</p>`)}
    <${Table} caption="What a drafter sees of each theme, the one that is short first" rows=${seats.themes} keyOf=${themeOf} columns=${inColumns([
      { title: "Theme", sort: (row) => row.theme, show: (row) => html`${row.theme}${row === first && seats.short_first ? html` <em>short first</em>` : ""}` },
      { title: "Cards", number: true, sort: (row) => row.cards.copies, show: (row) => row.cards.copies },
      { title: "First pack", ...mean("pack") },
      { title: "Opens", ...mean("opens") },
      { title: "Passes", ...mean("sees") },
      { title: "Nine of ten", number: true, sort: (row) => row.cards.sees.nine_in_ten, show: (row) => row.cards.sees.nine_in_ten },
      { title: "Short of", show: (row) => row.short_of || "" },
    ])} />
    <p class="quiet">First pack, opens, passes: its cards on average in one pack, in all packs that a seat opens, in all that passes it. Nine of ten: so many at least pass nine seats of ten. Short of: of what there is less for two drafters.</p>
    ${pictured.length ? html`<div class="curves"><${Role} themes=${pictured} need=${seats.package.enablers} role="enablers" word="Enablers" /><${Role} themes=${pictured} need=${seats.package.payoffs} role="payoffs" word="Payoffs" /></div>
    <${More} title="The pictures as a table"><${Table} caption=${`What passes a seat, and the chance that it is enough for one drafter (${seats.package.enablers} enablers, ${seats.package.payoffs} payoffs), for two`} rows=${pictured} keyOf=${themeOf} columns=${inColumns([
      { title: "Theme", show: (row) => row.theme },
      ...roleColumns("enablers", "Enablers"),
      ...roleColumns("payoffs", "Payoffs"),
    ])} /></${More}>` : null}`;
}

/** @param {{theme: string}} row */
function themeOf(row) {
  return row.theme;
}

/** @param {"enablers" | "payoffs"} role @param {string} title */
function roleColumns(role, title) {
  const enough = (/** @type {any} */ row) => row[role === "payoffs" ? "enough_payoffs" : "enough_enablers"];
  return [
    { title, number: true, show: (/** @type {any} */ row) => row[role].copies },
    { title: "Pass", number: true, show: (/** @type {any} */ row) => tenths(row[role].sees.mean) },
    { title: "Nine of ten", number: true, show: (/** @type {any} */ row) => row[role].sees.nine_in_ten },
    { title: "For one", number: true, show: (/** @type {any} */ row) => percent(enough(row)[0]) },
    { title: "For two", number: true, show: (/** @type {any} */ row) => percent(enough(row)[1]) },
  ];
}

/** @param {{themes: Seats["themes"], need: number, role: "enablers" | "payoffs", word: string}} props */
function Role({ themes, need, role, word }) {
  const rows = themes.map((theme) => ({ name: theme.theme, copies: theme[role].copies, sure: theme[role].sees.nine_in_ten, mean: theme[role].sees.mean }));
  const less = rows.filter((row) => row.sure < 2 * need).map((row) => row.name);
  const named = less.length > 4 ? [...less.slice(0, 3), `${less.length - 3} more`] : less;
  const title = `${word}: nine seats of ten see enough for two drafters in ${rows.length - less.length} of ${count(rows.length, "theme")}${less.length ? `; not in ${listed(named)}` : ""}`;
  return html`<figure><figcaption>${word} that pass nine seats of ten, and the average</figcaption><${SeenBars} title=${title} need=${need} rows=${rows} /></figure>`;
}

/** @param {{seats: Seats}} props */
function Together({ seats }) {
  const shown = (/** @type {any} */ row, /** @type {string} */ by) => (row.in ? percent(row[by]) : by === "dealt" ? "not in the pool" : "");
  return html`<${Table} caption="Cards that belong together: the chance that all of them are there" rows=${seats.together} columns=${inColumns([
    { title: "All cards of", show: (row) => row.name },
    { title: "Are dealt", number: true, show: (row) => shown(row, "dealt") },
    { title: "One seat sees", number: true, show: (row) => shown(row, "sees") },
    { title: "One seat opens", number: true, show: (row) => shown(row, "opens") },
  ])} />`;
}
