// Pages in a browser without the app: read without scripts, on narrow screens, by an accessibility checker; and the page for the
// players, whose notes go into a sheet that `feedback` reads.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { after, before, test } from "node:test";
import { pathToFileURL } from "node:url";
import { needed, program, root } from "./support.mjs";

const { chromium } = needed("playwright-core");
const folder = fs.mkdtempSync(path.join(os.tmpdir(), "poolwright-still-"));
/** @type {any} */
let browser;

const run = (...words) => execFileSync(program, words, { cwd: root, encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });

before(async () => {
  run("page", "scenarios/small", "--effort", "20k", "-o", path.join(folder, "pool.html"));
  run("page", "scenarios/small", "--drafters", "-o", path.join(folder, "drafters.html"));
  browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox"] });
});

after(async () => {
  await browser?.close();
  fs.rmSync(folder, { recursive: true });
});

/** Opens a page from its file; what went wrong, or out, is in `troubles`. */
async function open(name, options) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const troubles = [];
  const own = pathToFileURL(path.join(folder, name)).href;
  page.on("console", (message) => message.type() === "error" && troubles.push(message.text()));
  page.on("pageerror", (error) => troubles.push(String(error)));
  page.on("request", (request) => request.url() !== own && !request.url().startsWith("blob:") && troubles.push(`asked for ${request.url()}`));
  await page.goto(own);
  return { page, troubles, close: () => context.close() };
}

/** What axe-core finds; it is put in as the browser's own tools are, past the page's policy. */
async function unfit(page) {
  await page.addScriptTag({ content: fs.readFileSync(needed.resolve("axe-core/axe.min.js"), "utf8") });
  const found = await page.evaluate("axe.run(document)");
  return found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target.join(" ")).slice(0, 3).join(", ")}`);
}

test("without scripts the answers stand there, with a table behind each picture", async () => {
  const { page, troubles, close } = await open("pool.html", { javaScriptEnabled: false });
  const best = JSON.parse(run("best", "scenarios/small", "--json"));
  assert.match(await page.locator("#still-first .sentence").innerText(), new RegExp(`^${best.size} cards, ${best.cost.toFixed(2)} to buy`));
  assert.equal(await page.locator("#still-list tbody tr").count(), best.pool.length);
  for (const part of ["themes", "colours", "seats", "limits", "frontier", "shopping"]) assert.ok(await page.locator(`#still-${part} table`).count(), part);
  for (const picture of await page.locator("svg[role=img]").all()) assert.ok((await picture.locator("title").textContent()).length > 10);
  assert.deepEqual(troubles, []);
  await close();
});

test("on a narrow screen tables scroll, the page does not", async () => {
  for (const name of ["pool.html", "drafters.html"]) {
    const { page, close } = await open(name, { javaScriptEnabled: false, viewport: { width: 400, height: 800 } });
    const [whole, seen] = await page.evaluate("[document.documentElement.scrollWidth, document.documentElement.clientWidth]");
    assert.ok(whole <= seen, `${name}: ${whole} of ${seen}`);
    await close();
  }
});

test("an accessibility checker finds nothing", async () => {
  for (const [colorScheme, width] of [["light", 1400], ["dark", 400]]) {
    const viewport = { width, height: 900 };
    const players = await open("drafters.html", { colorScheme, viewport, bypassCSP: true });
    assert.deepEqual(await unfit(players.page), [], `drafters, ${colorScheme}`);
    await players.close();
    // Without the app: the script is taken out, so that the checker can run.
    const still = fs.readFileSync(path.join(folder, "pool.html"), "utf8");
    fs.writeFileSync(path.join(folder, "still.html"), `${still.slice(0, still.lastIndexOf("<script>"))}</body></html>`);
    const pool = await open("still.html", { colorScheme, viewport, bypassCSP: true });
    assert.deepEqual(await unfit(pool.page), [], `pool, ${colorScheme}`);
    await pool.close();
  }
});

test("players' notes are saved as a sheet that feedback reads", async () => {
  const { page, troubles, close } = await open("drafters.html", { acceptDownloads: true });
  const rows = page.locator("#still-list tbody tr");
  const names = await rows.locator("th bdi").allTextContents();
  await rows.nth(0).getByRole("combobox").selectOption("better");
  await rows.nth(2).getByRole("textbox").fill('=1+1, "quoted"');
  await rows.nth(3).getByRole("combobox").selectOption("unused");
  await rows.nth(3).getByRole("textbox").fill("never\tseen");
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save the notes" }).click()]);
  const sheet = path.join(folder, download.suggestedFilename());
  await download.saveAs(sheet);
  assert.match(fs.readFileSync(sheet, "utf8"), /^card,date,verdict,note\n/);
  const told = JSON.parse(run("feedback", "scenarios/small", sheet, "--json"));
  const notes = Object.fromEntries(told.cards.map((card) => [card.name, card.notes[0]]));
  assert.deepEqual(Object.keys(notes).sort(), [names[0], names[2], names[3]].sort());
  assert.equal(notes[names[0]].verdict, "better");
  assert.equal(notes[names[2]].verdict, "fine");
  assert.match(notes[names[2]].note, /=1\+1, "quoted"$/);
  assert.equal(notes[names[3]].verdict, "unused");
  assert.equal(await page.getByRole("status").textContent(), "3 notes saved.");
  assert.deepEqual(troubles, []);
  await close();
});
