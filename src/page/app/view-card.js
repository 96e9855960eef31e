// One card, beside the rest: in or out, why, what could stand in its place, and what is wished of it.
import { html, useEffect, useRef, useState } from "../vendor/preact.js";
import { withCard, withValues } from "./asked.js";
import { count, money, own, plain, problemWords, signed } from "./numbers.js";
import { Why } from "./reasons.js";
import { alike } from "./tally.js";
import { CardName, CardNames, Colours, NumberField, useStore } from "./widgets.js";

/** @typedef {import("./types.js").Card} Card */

/** The panel of the card that is looked at. */
export function CardPanel() {
  const store = useStore();
  const heading = useRef(/** @type {HTMLElement | null} */ (null));
  const opener = useRef(/** @type {Element | null} */ (null));
  const name = store.looking;
  useEffect(() => {
    if (!name) return;
    if (!(document.activeElement instanceof HTMLElement && document.activeElement.closest(".card-panel"))) opener.current = document.activeElement;
    heading.current?.focus();
  }, [name]);
  if (!name) return null;
  const card = store.cards.get(name);
  const close = () => {
    store.look(null);
    const back = opener.current;
    if (back instanceof HTMLElement && back.isConnected && back !== document.body) back.focus();
    else document.getElementById("card-box")?.focus();
  };
  return html`<aside class="card-panel" aria-labelledby="card-name" onKeyDown=${(/** @type {KeyboardEvent} */ event) => event.key === "Escape" && close()}>
    <p class="close"><button type="button" onClick=${close}>Close</button></p>
    <h2 id="card-name" tabindex="-1" ref=${heading}>${name}</h2>
    ${card ? html`<${CardFacts} card=${card} /><${CardWishes} card=${card} /><${CardReasons} card=${card} /><${CardNotes} card=${card} />` : html`<p>It is no candidate: it stands in none of the sheets.</p>`}
  </aside>`;
}

/** @param {{card: Card}} props */
function CardFacts({ card }) {
  const store = useStore();
  const copies = store.pool.get(card.name) || 0;
  const place = (store.answer.places || []).find((one) => one.name === card.name);
  const facts = [
    ["Colours", html`<${Colours} colours=${card.colours} />`],
    ["Class", card.class],
    ["Kind", card.kind.join(", ")],
    ["Cost", plain(card.cost)],
    ["Power", html`<${ValueField} card=${card} field="power" />`],
    ["Price", html`<${ValueField} card=${card} field="price" />`],
    ["Owned", card.owned ? String(card.owned) : ""],
    ["Fit", plain((store.answer.pool || []).map((one) => /** @type {any} */ (one)).find((one) => one.name === card.name)?.fit ?? card.fit)],
    ["Tags", card.tags.map((tag) => [tag.tag, tag.role, tag.weight === undefined || tag.weight === 1 ? "" : plain(tag.weight)].filter(Boolean).join(" ")).join("; ")],
    ["Place", place ? place.place : ""],
  ].filter(([, value]) => value !== "");
  return html`<p class="verdict"><strong>${copies ? (copies > 1 ? `In, ${copies} copies.` : "In.") : "Out."}</strong></p>
    ${card.text ? html`<blockquote>${card.text}</blockquote>` : null}
    <dl>${facts.map(([term, value]) => html`<div><dt>${term}</dt><dd>${value}</dd></div>`)}</dl>`;
}

/** A price or a power, as a number to be moved. @param {{card: Card, field: "power" | "price"}} props */
function ValueField({ card, field }) {
  const store = useStore();
  const asked = store.step.asked;
  const value = own(asked.values, card.name)?.[field] ?? card[field];
  const write = field === "price" ? money : plain;
  if (!store.ready) return html`${value === null ? "none" : write(value)}`;
  return html`<${NumberField} class="short" step="any" min=${field === "price" ? 0 : undefined} aria-label=${`${field} of ${card.name}`} value=${value === null ? "" : write(value)} set=${(/** @type {string} */ text) => {
    const number = Number(text);
    if (text !== "" && number !== value) store.attempt(`${field} of ${card.name}: ${write(number)}`, withValues(asked, card.name, { [field]: number }));
  }} />`;
}

/** Keep, ban, wish; pressed again, it is taken back. @param {{card: Card}} props */
function CardWishes({ card }) {
  const store = useStore();
  const asked = own(store.step.asked.cards, card.name) || null;
  const status = (card.status || "").split("; ");
  const said = /** @type {const} */ (["keep", "ban"]).find((word) => status.includes(word));
  const press = (/** @type {import("./types.js").Wish} */ wish, /** @type {string} */ label) => {
    const on = asked === wish;
    store.attempt(on ? `${label} ${card.name} no longer` : `${label} ${card.name}`, withCard(store.step.asked, card.name, on ? null : wish));
  };
  return html`<p class="buttons" role="group" aria-label="Wishes">
      ${/** @type {const} */ ([["keep", "Keep"], ["ban", "Ban"], ["wish", "Wish"]]).map(([wish, label]) => html`<button type="button" disabled=${!store.ready} aria-pressed=${asked === wish} onClick=${() => press(wish, wish === "wish" ? "wish for" : wish)}>${label}</button>`)}
      ${said ? html`<button type="button" disabled=${!store.ready} aria-pressed=${asked === "free"} onClick=${() => press("free", "free")}>Neither</button>` : null}</p>
    ${said ? html`<p class="quiet">The scenario says: ${said}.</p>` : null}`;
}

/** Why it is in or out, and what could stand in its place. @param {{card: Card}} props */
function CardReasons({ card }) {
  const store = useStore();
  const known = (store.answer.wishes_out || []).find((one) => one.name === card.name);
  const state = store.shownStep;
  const [why, setWhy] = useState(/** @type {any} */ (null));
  const [swap, setSwap] = useState(/** @type {any} */ (null));
  const inside = store.pool.has(card.name);
  useEffect(() => {
    let current = true;
    setWhy(null);
    setSwap(null);
    if (!store.ready) return;
    store.beside({ ask: "why", cards: [card.name] }).then((answer) => current && setWhy(answer || { error: [{ message: "Given up." }] }));
    if (inside) store.beside({ ask: "swap", cards: [card.name] }).then((answer) => current && setSwap(answer || { error: [] }));
    return () => {
      current = false;
      store.reasons.forget("why");
      store.reasons.forget("swap");
    };
  }, [card.name, state, store.ready, inside]);
  const told = why && !why.error ? (why.cards || [])[0] : known;
  const better = why && !why.error && why.fit !== undefined && why.fit !== store.answer.fit; // the pool shown was not proven best
  return html`${better ? html`<p class="quiet">What follows is told of a better pool, which was found meanwhile: it has fit ${plain(why.fit)}, the one shown ${plain(store.answer.fit)}.</p>` : null}
    <h3>Why</h3>
    <div aria-live="polite">${told ? html`<${Why} card=${told} />` : why && why.error ? html`<p class="quiet">${problemWords(why.error)}</p>` : why ? html`<p class="quiet">Without a pool there is nothing to say of one card.</p>` : store.ready ? html`<p class="quiet">being found ...</p>` : html`<p class="quiet">Only the optimiser can tell.</p>`}</div>
    <h3>${inside ? "What could stand in its place" : "Cards like it"}</h3>
    ${inside ? html`<${Singles} swap=${swap} card=${card} />` : html`<${Alike} card=${card} inside=${true} />`}`;
}

/** The best single swaps for a card that is in. @param {{swap: any, card: Card}} props */
function Singles({ swap, card }) {
  const store = useStore();
  const told = swap && !swap.error ? (swap.swaps || [])[0] : null;
  if (!told) return html`<${Alike} card=${card} inside=${false} />${store.ready && !swap ? html`<p class="quiet">exact swaps are being found ...</p>` : null}`;
  if (told.impossible) return html`<p>Nothing: no pool without it meets all limits.</p>`;
  if (!told.single || !told.single.length) return html`<p>No single card. ${told.enters ? "The pool chosen anew without it:" : "What a pool chosen anew without it would be was not found out."}</p>${told.enters ? html`<p>In: <${CardNames} cards=${told.enters} />; out: <${CardNames} cards=${told.leaves || []} />.</p>` : null}`;
  const same = told.single.filter((/** @type {any} */ one) => one.same_job);
  const others = told.single.filter((/** @type {any} */ one) => !one.same_job);
  return html`<p>${count(told.single.length, "card")} could replace it alone${same.length && others.length ? `, ${same.length} of them for the same job and cheaper` : same.length ? "" : ", none of them for the same job and cheaper"}:</p>
    <${SingleList} title="Same job, cheaper" singles=${same} /><${SingleList} title="Others, best first" singles=${others} />`;
}

/** @param {{title: string, singles: any[]}} props */
function SingleList({ title, singles }) {
  const [all, showAll] = useState(false);
  const shown = all ? singles : singles.slice(0, 6);
  if (!singles.length) return null;
  return html`<p class="quiet">${title}</p>
    <ul class="plain">${shown.map((one) => html`<li><${CardName} name=${one.name} />: ${signed(one.fit_change)} fit, ${signed(one.cost_change, money)} of money</li>`)}</ul>
    ${shown.length < singles.length ? html`<button type="button" class="small" onClick=${() => showAll(true)}>and ${singles.length - shown.length} more</button>` : null}`;
}

/** Cards that look alike: same themes, colours, class, near in cost. @param {{card: Card, inside: boolean}} props */
function Alike({ card, inside }) {
  const store = useStore();
  const pool = store.pool;
  const like = [...store.cards.values()].filter((other) => other.name !== card.name && pool.has(other.name) === inside)
    .map((other) => ({ other, score: alike(card, other) })).filter((one) => one.score >= 5).sort((a, b) => b.score - a.score || b.other.fit - a.other.fit).slice(0, 6);
  if (!like.length) return html`<p class="quiet">No card ${inside ? "in the pool" : "outside"} is much like it.</p>`;
  return html`<p class="quiet">${inside ? "In the pool, alike" : "Outside, alike"} by themes, colours and cost:</p>
    <ul class="plain">${like.map(({ other }) => html`<li><${CardName} name=${other.name} />: fit ${plain(other.fit)} to its ${plain(card.fit)}, price ${money(other.price)}</li>`)}</ul>`;
}

/** Notes from play on the card. @param {{card: Card}} props */
function CardNotes({ card }) {
  const store = useStore();
  const notes = store.notes.get(card.name) || [];
  if (!notes.length) return null;
  return html`<h3>Notes from play</h3><ul class="plain">${notes.map((note) => html`<li>${[note.date, note.verdict, note.text].filter(Boolean).join(": ")}</li>`)}</ul>`;
}
