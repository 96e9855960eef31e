// The page's beginning: what was written into it is read, drawn, and the engine started.
import { html, render, useLayoutEffect, useState } from "../vendor/preact.js";
import { enginePieces } from "./pieces.js";
import { dropped, takeIn } from "./intake.js";
import { rememberPage } from "./save.js";
import { Store } from "./store.js";
import { Begin } from "./view-begin.js";
import { CardPanel } from "./view-card.js";
import { CasesPart, ChangesPart, FrontierPart } from "./view-cases.js";
import { CardBox, MoneyLines, Remarks, Sentence, SinceLastTime, ThemeLines, Undecided } from "./view-first.js";
import { HomePart } from "./view-home.js";
import { LimitsPart } from "./view-limits.js";
import { ListPart, ShoppingPart } from "./view-list.js";
import { ColoursPart, FirmPart, StructurePart, ThemesPart, WishesPart } from "./view-look.js";
import { SeatsPart } from "./view-seats.js";
import { StepBar, TryPanel } from "./view-try.js";
import { Guard, Part, StoreProvider } from "./widgets.js";

/** @param {{store: Store}} props */
function Page({ store }) {
  const [, draw] = useState(0);
  useLayoutEffect(() => store.listen(() => draw((/** @type {number} */ old) => old + 1)), []);
  useLayoutEffect(keepFocus);
  const body = store.empty ? html`<${Begin} />` : html`<${Whole} store=${store} />`;
  return html`<${StoreProvider} value=${store}>
    <header class="top"><h1>${document.title}</h1>${store.empty ? null : html`<${StepBar} />`}</header>
    ${body}
    <div class="unseen" role="status" aria-live="polite">${store.say}</div></${StoreProvider}>`;
}

/** @type {{element: Element, within: Element[]} | null} what had the focus, and what it was in */
let focused = null;

/** Where what had the focus is gone, its nearest section gets it, so that a keyboard never starts again at the top. */
function keepFocus() {
  if (!focused || focused.element.isConnected || (document.activeElement && document.activeElement !== document.body)) return;
  const near = focused.within.find((element) => element.isConnected && element.matches("section, details, aside, form, main"));
  const heading = near?.querySelector("h2, h3, summary");
  if (!(heading instanceof HTMLElement)) return;
  if (heading.tagName !== "SUMMARY") heading.tabIndex = -1;
  heading.focus({ preventScroll: true });
}

/** @param {{store: Store}} props */
function Whole({ store }) {
  return html`<main class=${store.looking ? "looking" : ""}>
      <div class="first"><${CardBox} /><${Sentence} /><${Remarks} />${store.pool.size ? html`<${SinceLastTime} /><${Undecided} /><${ThemeLines} />${store.priced ? html`<${MoneyLines} />` : null}` : null}</div>
      <div class="beside"><${Guard}><${CardPanel} /></${Guard}><${TryPanel} /></div>
      <div class="parts">
        <${LimitsPart} />${store.pool.size ? html`<${ThemesPart} /><${ColoursPart} /><${SeatsPart} /><${StructurePart} /><${WishesPart} /><${FirmPart} />` : null}<${FrontierPart} /><${CasesPart} />${store.pool.size ? html`<${ChangesPart} /><${ShoppingPart} />` : null}<${ListPart} /><${HomePart} /><${Words} store=${store} />
      </div></main>`;
}

/** What the words mean. @param {{store: Store}} props */
function Words({ store }) {
  const words = store.data.words?.words;
  if (!words) return null;
  return html`<${Part} id="words" title="What the words mean"><dl class="words">${words.map((one) => html`<div><dt>${one.word}</dt><dd>${one.meaning}</dd></div>`)}</dl></${Part}>`;
}

/** Draws the page over the static answers. */
function begin() {
  const element = document.getElementById("pool");
  if (!element) return;
  rememberPage();
  const store = new Store(JSON.parse(element.textContent || "{}"), enginePieces());
  const app = document.createElement("div");
  app.id = "app";
  document.getElementById("static")?.replaceWith(app);
  if (!app.isConnected) document.body.append(app);
  const draw = () => render(html`<${Page} store=${store} />`, app);
  draw();
  for (const [happens, printing] of /** @type {[string, boolean][]} */ ([["beforeprint", true], ["afterprint", false]])) {
    addEventListener(happens, () => {
      store.printing = printing;
      draw();
    });
  }
  addEventListener("beforeunload", (event) => {
    if (store.unsaved) event.preventDefault();
  });
  document.addEventListener("focusin", (event) => {
    const element = /** @type {Element} */ (event.target);
    const within = [];
    for (let outer = element.parentElement; outer; outer = outer.parentElement) within.push(outer);
    focused = { element, within };
  });
  document.addEventListener("dragover", (event) => event.preventDefault());
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    if (event.dataTransfer?.types.includes("Files")) takeIn(store, dropped(event.dataTransfer));
  });
  document.addEventListener("keydown", (event) => {
    const typing = event.target instanceof HTMLElement && event.target.closest("input, textarea, select");
    if (typing || !(event.ctrlKey || event.metaKey) || event.key.toLowerCase() !== "z" || store.empty) return;
    event.preventDefault();
    if (event.shiftKey) store.redo();
    else store.undo();
  });
  if (!store.empty) store.start();
}

begin();
