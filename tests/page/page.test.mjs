// The page in a browser, opened as a file: tried, given up, taken back; nothing is fetched, nothing complains, names are text, and
// no one is shut out (axe-core).
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { after, before, test } from "node:test";
import { openPage, startBrowser } from "./browser.mjs";
import { built, needed, program, root } from "./support.mjs";

const SMALL = "scenarios/small/scenario.yaml";
const folder = path.join(built, "tests/pages");
const file = (name) => path.join(folder, `${name}.html`);
const run = (...options) => execFileSync(program, options, { cwd: root, maxBuffer: 1 << 28, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });
/** What the program answers, without reasons. */
const best = (change = {}) => JSON.parse(execFileSync(program, ["ask", SMALL], { cwd: root, encoding: "utf8", input: JSON.stringify({ ask: "best", change }), maxBuffer: 1 << 28 }));
let browser;

/** Cards whose names would do something if they were anything but text. */
const HOSTILE = ["</script><script>document.title='broken'</script>", "<img src=x onerror=\"document.title='broken'\">", "&lt;b&gt; \"quoted\" 'too'", "<!--<script>"];

function writeHostile() {
  const quoted = (text) => `"${text.replaceAll('"', '""')}"`;
  const rows = [...HOSTILE, "plain one", "plain two"].map((name, at) => `${quoted(name)},,${quoted(name)},creature,2,${7 - at},1.00`);
  fs.writeFileSync(path.join(folder, "cards.csv"), `name,colours,text,kind,cost,power,price\n${rows.join("\n")}\n`);
  fs.writeFileSync(path.join(folder, "model.yaml"), "size: 4\ncolours: [amber, slate]\nspending_cap: 10\n");
  fs.writeFileSync(path.join(folder, "hostile.yaml"), "model: model.yaml\ncards: cards.csv\n");
  run("page", path.join(folder, "hostile.yaml"), "-o", file("hostile"));
}

before(async () => {
  fs.mkdirSync(folder, { recursive: true });
  for (const name of ["small", "empty", "hostile"]) fs.rmSync(file(name), { force: true });
  run("page", SMALL, "--effort", "20000", "-o", file("small"));
  run("page", "-o", file("empty"));
  writeHostile();
  browser = await startBrowser();
});
after(() => browser?.close());

const ready = (page) => page.getByText("getting ready").waitFor({ state: "detached" });
const sentence = (page, words) => page.locator(".first").getByText(words).first().waitFor();

test("modules of the page have the types that their comments say", () => {
  execFileSync(process.execPath, [needed.resolve("typescript/bin/tsc"), "-p", path.join(root, "tests/page/tsconfig.json")], { stdio: "inherit" });
});

test("a cap is moved, a card banned, both taken back: the pools are those of the program", async (t) => {
  const begun = performance.now();
  const { page, wrong, close } = await openPage(browser, file("small"));
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
  assert.deepEqual(wrong, []);
  await close();
});

test("the same by keyboard alone", async () => {
  const { page, wrong, close } = await openPage(browser, file("small"));
  await ready(page);
  const reach = async (id) => {
    for (let tabs = 0; tabs < 300; tabs++) {
      await page.keyboard.press("Tab");
      if (await page.evaluate((wanted) => document.activeElement?.id === wanted, id)) return;
    }
    assert.fail(`#${id} is not reached by Tab`);
  };
  await reach("card-box");
  await reach("cap");
  await page.keyboard.press("Control+A");
  await page.keyboard.type("60");
  await page.keyboard.press("Enter");
  await sentence(page, `Fit ${best({ spending_cap: 60 }).fit}:`);
  assert.deepEqual(wrong, []);
  await close();
});

test("names that look like markup are text", async () => {
  const { page, wrong, close } = await openPage(browser, file("hostile"));
  await ready(page);
  await page.locator("#list > summary").click();
  for (const name of HOSTILE) await page.locator("#list").getByText(name, { exact: true }).first().waitFor();
  assert.notEqual(await page.title(), "broken");
  assert.equal(await page.locator("img").count(), 0);
  assert.deepEqual(wrong, []);
  await close();
});

test("without scripts the pool can be read", async () => {
  const { page, wrong, close } = await openPage(browser, file("small"), { javaScriptEnabled: false });
  const text = await page.locator("main#static").innerText();
  for (const { name } of best().pool.slice(0, 20)) assert.ok(text.includes(name), name);
  assert.deepEqual(wrong.filter((one) => !one.includes("script")), []);
  await close();
});

for (const [name, colorScheme, width] of [["small", "light", 1400], ["small", "dark", 400], ["empty", "light", 400], ["empty", "dark", 1400]]) {
  test(`an accessibility checker finds nothing: ${name}, ${colorScheme}, ${width} px`, async () => {
    const { page, wrong, close } = await openPage(browser, file(name), { colorScheme, viewport: { width, height: 900 } });
    await ready(page);
    await page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));
    await page.evaluate(fs.readFileSync(needed.resolve("axe-core/axe.min.js"), "utf8"));
    const { violations } = await page.evaluate(() => globalThis.axe.run());
    assert.deepEqual(violations.map((one) => `${one.id}: ${one.help}; ${one.nodes[0].html.slice(0, 200)}`), []);
    assert.deepEqual(wrong, []);
    await close();
  });
}
