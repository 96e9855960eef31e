// Shared by the tests in a browser: Debian's Chromium without a screen, a page opened from its file, and what must never happen on it.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { needed, program, root } from "./support.mjs";

const { chromium } = needed("playwright-core");

/** A folder of its own, gone when the tests are over. */
export function freshFolder() {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "page-"));
  process.on("exit", () => fs.rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** Writes a page; `subject` null: the one without a scenario. */
export function writePage(file, subject = null, ...options) {
  execFileSync(program, ["page", ...(subject ? [subject] : []), "-o", file, ...options], { cwd: root, stdio: ["ignore", "ignore", "pipe"] });
  return file;
}

export function launch() {
  return chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
}

/** Opens a page from its file. `quiet()` fails where it asked for anything on a network or wrote an error. */
export async function openPage(browser, file, { width = 1280, height = 900, dark = false } = {}) {
  const context = await browser.newContext({ viewport: { width, height }, colorScheme: dark ? "dark" : "light", acceptDownloads: true });
  const page = await context.newPage();
  const seen = [];
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && seen.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => seen.push(`error: ${error.message}`));
  page.on("request", (request) => !/^(file|blob|data):/.test(request.url()) && seen.push(`request: ${request.url()}`));
  await page.goto(pathToFileURL(file).href);
  await page.locator("#app h1").waitFor();
  page.quiet = () => assert.deepEqual(seen, []);
  return page;
}

/** Waits until the engine can be asked. */
export async function ready(page) {
  await page.locator(".try fieldset:not([disabled])").first().waitFor({ timeout: 60_000 });
}

/** Waits until a function of the page says true. (Playwright's own waiting needs what the page's policy forbids.) */
export async function until(page, says, given, patience = 60_000) {
  const end = Date.now() + patience;
  while (!(await page.evaluate(says, given))) {
    assert.ok(Date.now() < end, `still not so: ${says}, ${JSON.stringify(given)}; ${await page.evaluate(() => document.querySelector(".step-bar")?.textContent)}`);
    await new Promise((done) => setTimeout(done, 50));
  }
}

/** Waits until step number `at` is solved, and gives the bar's words. */
export async function solved(page, at) {
  const bar = page.locator(".step-bar .where");
  await until(page, (number) => {
    const text = document.querySelector(".step-bar .where")?.textContent || "";
    return (number === 0 ? text.startsWith("The start") : text.startsWith(`Step ${number}:`)) && !text.includes("being solved") && !text.includes("~~");
  }, at);
  return bar.textContent();
}

/** Opens a part of the page, and waits until it is drawn. */
export async function openPart(page, id) {
  const part = page.locator(`#${id}`);
  if ((await part.getAttribute("open")) === null) await part.locator("> summary").click();
  await part.locator("> .inside").waitFor();
  return part;
}

/** Presses a button that hands out a file; its name and text. */
export async function handedOut(page, press) {
  const [download] = await Promise.all([page.waitForEvent("download"), press()]);
  return { name: download.suggestedFilename(), text: fs.readFileSync(await download.path(), "utf8") };
}

/** The lines of a table of the page, by its caption: the texts of their cells. */
export function rowsOf(page, caption) {
  return page.evaluate((wanted) => {
    const table = [...document.querySelectorAll("#app table")].find((one) => one.caption?.textContent === wanted);
    return table ? [...table.tBodies[0].rows].map((row) => [...row.cells].map((cell) => cell.innerText.trim())) : null;
  }, caption);
}

/** A new folder with twelve cards of two colours, and these lines of its model and scenario. */
export function twelve(home, model, scenario = "") {
  fs.mkdirSync(home);
  fs.writeFileSync(path.join(home, "cards.csv"), `name,colours,kind,cost,power,price,tags\n${Array.from({ length: 12 }, (_, k) => `Card ${k},${k % 2 ? "rye" : "teal"},crew,${k % 4},${k},${k < 6 ? "0.50" : "1.00"},${["tide", "tide 2", "moon"][k % 3]}`).join("\n")}\n`);
  fs.writeFileSync(path.join(home, "model.yaml"), `colours: [rye, teal]\nsize: 6\nspending_cap: 6.00\nthemes: [{name: tide}, {name: moon}]\n${model}`);
  fs.writeFileSync(path.join(home, "scenario.yaml"), `model: model.yaml\ncards: [cards.csv]\n${scenario}`);
  return home;
}

/** What the command line says of the folder's best pool. */
export function best(home, ...options) {
  return JSON.parse(execFileSync(program, ["best", home, "--json", ...options], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] }));
}
