// What the page shows after changes is what the program answers; the types of its modules hold.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import path from "node:path";
import { after, before, test } from "node:test";
import { freshFolder, launch, openPage, openPart, ready, until, writePage } from "./browse.mjs";
import { needed, program, root } from "./support.mjs";

const SMALL = "scenarios/small/scenario.yaml";
const pool = path.join(freshFolder(), "small.html");
/** What the program answers. */
const asked = (ask, change) => JSON.parse(execFileSync(program, ["ask", SMALL], { cwd: root, encoding: "utf8", input: JSON.stringify({ ask, change }), maxBuffer: 1 << 28 }));
const best = (change = {}) => asked("best", change);
let browser;

before(async () => {
  writePage(pool, SMALL, "--effort", "20000");
  browser = await launch();
});
after(() => browser?.close());

const sentence = (page, words) => page.locator(".first").getByText(words).first().waitFor();

test("modules of the page have the types that their comments say", () => {
  execFileSync(process.execPath, [needed.resolve("typescript/bin/tsc"), "-p", path.join(root, "tests/page/tsconfig.json")], { stdio: "inherit" });
});

test("a cap is moved, a card banned, both taken back: the pools are those of the program", async (t) => {
  const begun = performance.now();
  const page = await openPage(browser, pool);
  const shown = performance.now() - begun;
  await ready(page);
  t.diagnostic(`shown after ${Math.round(shown)} ms, engine ready after ${Math.round(performance.now() - begun)} ms`);
  const start = best(), less = best({ spending_cap: 60 }), banned = best({ spending_cap: 60, ban: ["Dock Cat"] });
  assert.ok(banned.fit < less.fit && less.fit < start.fit);
  await sentence(page, `Fit ${start.fit}:`);
  await page.locator("#cap").fill("60");
  await page.locator("#cap").press("Enter");
  await sentence(page, `Fit ${less.fit}:`);
  await sentence(page, "proven that no pool within these limits has more");
  await page.locator("#card-box").fill("Dock Cat");
  await page.locator("#card-box").press("Enter");
  await page.getByRole("button", { name: "Ban", exact: true }).first().click();
  await sentence(page, `Fit ${banned.fit}:`);
  await page.getByRole("button", { name: "Undo" }).first().click();
  await sentence(page, `Fit ${less.fit}:`);
  await page.getByRole("button", { name: "Undo" }).first().click();
  await sentence(page, `Fit ${start.fit}:`);
  page.quiet();
  await page.context().close();
});

test("what seats see follows the pool that is shown: the numbers are those of the program", async () => {
  const page = await openPage(browser, pool);
  await ready(page);
  const part = await openPart(page, "seats");
  const shown = (wanted) => until(page, (rows) => JSON.stringify([...document.querySelectorAll("#seats table:first-of-type tbody tr")].slice(0, 10).map((row) => [...row.children].map((cell) => cell.textContent.replace(" short first", "")))) === rows, JSON.stringify(wanted));
  const counted = (change) => asked("seats", change).themes.map((theme) => [theme.theme, String(theme.cards.copies), ...["pack", "opens", "sees"].map((by) => theme.cards[by].mean.toFixed(1)), String(theme.cards.sees.nine_in_ten), theme.short_of]);
  const start = counted({}), less = counted({ spending_cap: 45 });
  assert.notDeepEqual(less, start);
  await shown(start);
  assert.ok((await part.innerText()).includes(asked("seats", {}).text[0]), "in the words of the command line");
  await page.locator("#cap").fill("45");
  await page.locator("#cap").press("Enter");
  await shown(less);
  assert.match(await part.locator("svg[role=img] > title").first().textContent(), /^Enablers: nine seats of ten see enough for two drafters in \d+ of 10 themes/);
  await page.getByRole("button", { name: "Undo" }).first().click();
  await shown(start);
  page.quiet();
  await page.context().close();
});
