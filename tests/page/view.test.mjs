// The page in a browser: what can be looked at, tried and taken home, by mouse and by keyboard.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { after, before, test } from "node:test";
import { readSheet, sheet } from "../../src/page/app/sheet-text.js";
import { best, freshFolder, handedOut, launch, openPage, openPart, ready, rowsOf, solved, twelve, until, writePage } from "./browse.mjs";
import { needed, program, root } from "./support.mjs";

const folder = freshFolder();
const PARTS = ["limits", "themes", "colours", "seats", "structure", "wishes", "firm", "frontier", "cases", "changes", "shopping", "list", "home", "words"];
let browser;
let demo;

before(async () => {
  demo = process.env.DEMO_PAGE || writePage(path.join(folder, "demo.html"), "scenarios/demo", "--effort", "20000");
  browser = await launch();
});
after(() => browser?.close());

test("by mouse: opened, first answer, cap moved, card banned, limit loosened, why, undo, files saved", async () => {
  const page = await openPage(browser, demo);
  const sentence = page.locator(".sentence");
  assert.match(await sentence.textContent(), /360 cards, 300\.00 to buy of 300\.00 \(nothing left\);\s+every limit met\.\s+Fit 3198\.05: proven/);
  await ready(page);

  await page.locator("#cap").fill("275");
  await page.locator("#cap").press("Enter");
  assert.match(await solved(page, 1), /cap 275\.00.*\(−18\.8\)/);
  assert.match(await sentence.textContent(), /of 275\.00/);
  assert.ok((await page.locator(".moves .in").count()) > 0);

  await page.locator(".moves .in .card-name").first().click();
  const panel = page.locator(".card-panel");
  const banned = await panel.locator("h2").textContent();
  assert.match(await panel.locator(".verdict").textContent(), /In\./);
  await panel.getByRole("button", { name: "Ban", exact: true }).click();
  await solved(page, 2);
  assert.match(await panel.locator(".verdict").textContent(), /Out\./);
  await panel.locator(".reasons li").first().waitFor({ timeout: 60_000 });
  assert.match(await panel.locator(".reasons").textContent(), /is out because you say so\./);
  await panel.getByRole("button", { name: "Close" }).click();

  const limits = await openPart(page, "limits");
  await limits.getByLabel("or those called").fill("removal (tar)");
  await limits.getByRole("button", { name: "Change removal (tar)" }).click();
  await limits.getByRole("button", { name: "One looser" }).click();
  assert.match(await solved(page, 3), /loosen removal \(tar\): at least 8/);
  assert.match(await page.locator(".try").textContent(), /limits on numbers move along, but for those that were changed or added here/);

  const home = await openPart(page, "home");
  const save = (name) => handedOut(page, () => home.getByRole("button", { name, exact: true }).click());
  const pool = await save("The pool");
  const [header, ...rows] = readSheet(pool.text);
  assert.deepEqual([pool.name, header[0], rows.length], ["pool.csv", "name", 360]);
  assert.ok(!rows.some((row) => row[0] === banned));
  const changes = (await save("What was changed")).text;
  assert.match(changes, /spending_cap: 275\.00/);
  assert.ok(changes.includes(`ban:\n    - ${banned}`) || changes.includes(`ban:\n    - "${banned}"`), changes);
  assert.match(changes, /\{name: removal, for: \{tar: \{at_least: 8\}\}\}/);
  const bought = readSheet((await save("The shopping list")).text);
  assert.equal(bought.find((row) => row[0] === "total")[4], (await sentence.textContent()).match(/cards, ([\d.]+) to buy/)[1]);

  const saved = await save("This page, with all that was tried");
  const again = path.join(folder, "again.html");
  fs.writeFileSync(again, saved.text);

  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByRole("button", { name: "Undo" }).click();
  assert.match(await solved(page, 1), /cap 275\.00/);
  await page.getByRole("button", { name: "Redo" }).click();
  assert.match(await solved(page, 2), /ban /);
  page.quiet();
  await page.context().close();

  const second = await openPage(browser, again);
  assert.match(await second.locator(".where").textContent(), /^Step 3: loosen removal \(tar\)/);
  await ready(second);
  await second.getByRole("button", { name: "Undo" }).click();
  assert.match(await solved(second, 2), new RegExp(`ban `));
  second.quiet();
  await second.context().close();
});

test("by keyboard alone: the same path", async () => {
  const page = await openPage(browser, demo, { width: 1000 });
  await ready(page);
  const keys = page.keyboard;
  const focused = () => page.evaluate(() => document.activeElement?.getAttribute("aria-label") || document.activeElement?.id || document.activeElement?.textContent?.trim());
  const tabTo = async (wanted) => {
    for (let k = 0; k < 300; k++) {
      if (wanted.test(await focused())) return;
      await keys.press("Tab");
    }
    assert.fail(`Tab never comes to ${wanted}; it is at ${await focused()}`);
  };
  await tabTo(/^card-box$/);
  await keys.type("bait lamp");
  await keys.press("Enter");
  await page.locator(".card-panel").waitFor();
  assert.equal(await focused(), "card-name");
  await tabTo(/^Ban$/);
  await keys.press("Enter");
  await solved(page, 1);
  assert.equal(await focused(), "Ban", "the focus stays where it was");
  await page.locator(".card-panel .reasons li").first().waitFor({ timeout: 60_000 });
  await keys.press("Escape");
  assert.equal(await focused(), "card-box", "and goes back to where the card was opened from");
  await tabTo(/^cap$/);
  await keys.press("Control+A");
  await keys.type("280");
  await keys.press("Enter");
  await solved(page, 2);
  assert.equal(await focused(), "cap");
  await tabTo(/^Limits/);
  await keys.press("Enter");
  await tabTo(/^Change /);
  const limit = (await focused()).slice(7);
  await keys.press("Enter");
  await tabTo(/^One looser$/);
  await keys.press("Enter");
  await solved(page, 3);
  assert.ok((await page.locator(".where").textContent()).length > 0, limit);
  await keys.press("Control+z");
  assert.match(await solved(page, 2), /cap 280\.00/);
  await keys.press("Control+Shift+Z");
  await solved(page, 3);
  await tabTo(/^Take home/);
  await keys.press("Enter");
  await tabTo(/^The pool$/);
  const pool = await handedOut(page, () => keys.press("Enter"));
  assert.equal(readSheet(pool.text).length - 1, parseInt(await page.locator(".sentence").textContent(), 10));
  assert.match(await page.locator("[role=status].unseen").textContent(), /pool\.csv/);
  page.quiet();
  await page.context().close();
});

test("a new limit by the form: what it counts at once, then solved with it", async () => {
  const page = await openPage(browser, demo);
  await ready(page);
  const form = (await openPart(page, "limits")).locator("form.new-limit");
  await form.getByLabel("Called").fill("vessels");
  await form.getByLabel("for each").selectOption("colour");
  await form.getByLabel("and ...").or(form.getByRole("button", { name: "and ..." })).click();
  await form.locator("select").nth(3).selectOption("kind");
  const rows = form.locator("tbody tr");
  await rows.nth(3).waitFor({ timeout: 30_000 });
  const mono = await rows.nth(0).textContent();
  await form.locator("select").nth(4).selectOption("vessel");
  await until(page, (old) => document.querySelector("form.new-limit tbody tr")?.textContent !== old, mono);
  const pool = Number(await rows.nth(0).locator("td").nth(1).textContent());
  assert.ok(pool > 0 && Number(await rows.nth(0).locator("td").nth(0).textContent()) > pool);
  await form.getByLabel("at least").fill(String(pool + 2));
  await form.getByRole("button", { name: "Solve with it" }).click();
  assert.match(await solved(page, 1), /new limit vessels: at least \d+.*\(−/);
  page.quiet();
  await page.context().close();
});

test("a search can be given up, and the state before it stays", async () => {
  const page = await openPage(browser, demo);
  await ready(page);
  await page.evaluate(() => {
    const size = document.getElementById("size");
    size.value = "357";
    size.dispatchEvent(new Event("change", { bubbles: true }));
    [...document.querySelectorAll(".step-bar button")].find((button) => button.textContent === "Give up").click();
  });
  await until(page, () => /^The start|^Step 1/.test(document.querySelector(".where").textContent));
  await page.locator("#cap").fill("299");
  await page.locator("#cap").press("Enter");
  await until(page, () => /cap 299\.00.*fit/.test(document.querySelector(".where").textContent));
  page.quiet();
  await page.context().close();
});

test("names, texts and themes that look like markup are shown as text", async () => {
  const hostile = '<img src=x onerror="window.hit=1"></script><script>window.hit=1</script><!--';
  const home = path.join(folder, "hostile");
  fs.mkdirSync(home);
  const quoted = `"${hostile.replaceAll('"', '""')}"`;
  const lines = Array.from({ length: 12 }, (_, k) => `Card ${k},${k % 2 ? "one" : "two"},crew,${k % 5},${(k * 7) % 10},0.50,<b>loud</b> enabler 1,&lt;i&gt; <u>text</u>`);
  fs.writeFileSync(path.join(home, "cards.csv"), `name,colours,kind,cost,power,price,tags,text\n${quoted},one,"${hostile.replaceAll('"', '""')}",1,9,1.00,<b>loud</b> payoff 2,${quoted}\n${lines.join("\n")}\n`);
  fs.writeFileSync(path.join(home, "model.yaml"), "size: 8\nspending_cap: 9.00\ncolours: [one, two]\nthemes:\n  - {name: \"<b>loud</b>\", colours: one+two}\nrules:\n  - {name: \"<script>window.hit=1</script>\", where: {cost: {to: 2}}, at_least: 2}\n");
  fs.writeFileSync(path.join(home, "scenario.yaml"), "model: model.yaml\ncards: [cards.csv]\n");
  const page = await openPage(browser, writePage(path.join(folder, "hostile.html"), home));
  await ready(page);
  for (const id of PARTS) if (await page.locator(`#${id}`).count()) await openPart(page, id);
  await page.locator("#card-box").fill("<img");
  await page.locator("#card-box").press("Enter");
  assert.equal(await page.locator("#card-name").textContent(), hostile);
  assert.equal(await page.locator(".card-panel blockquote").textContent(), hostile);
  assert.equal(await page.evaluate(() => window.hit), undefined);
  assert.equal(await page.locator("#app img, #app script, #app b, #app u").count(), 0);
  await page.locator(".card-panel").getByRole("button", { name: "Ban", exact: true }).click();
  await solved(page, 1);
  assert.equal(await page.locator("#app img, #app script").count(), 0);
  page.quiet();
  await page.context().close();
});

test("no price anywhere, and no pool at all: nothing is said of money, nor of limits that are met; a cap that is moved finds a pool", async () => {
  const home = path.join(folder, "bare");
  fs.mkdirSync(home);
  const write = (price, model) => {
    fs.writeFileSync(path.join(home, "cards.csv"), `name,colours,kind,cost,power${price ? ",price" : ""}\n${Array.from({ length: 10 }, (_, k) => `Card ${k},${k % 2 ? "rye" : "teal"},crew,${k % 4},${k}${price ? ",1.00" : ""}`).join("\n")}\n`);
    fs.writeFileSync(path.join(home, "model.yaml"), `colours: [rye, teal]\nsize: 6\n${model}`);
    fs.writeFileSync(path.join(home, "scenario.yaml"), "model: model.yaml\ncards: [cards.csv]\n");
  };
  write(false, "");
  const free = await openPage(browser, writePage(path.join(folder, "free.html"), home));
  assert.match(await free.locator(".sentence").textContent(), /6 cards;\s+every limit met.*No card has a price\./);
  assert.equal(await free.getByText("Money by section").count(), 0);
  free.quiet();
  await free.context().close();

  write(true, "spending_cap: 5\n");
  const file = path.join(folder, "none.html");
  assert.equal(spawnSync(program, ["page", home, "-o", file], { cwd: root }).status, 1, "as where `best` finds no pool");
  const page = await openPage(browser, file);
  await ready(page);
  const sentence = page.locator(".sentence");
  assert.match(await sentence.textContent(), /No pool meets all limits/);
  assert.match(await page.locator("main").textContent(), /The cap alone: .*your cap is 5\.00.*Without that there is a pool: proven\./);
  assert.doesNotMatch(await page.locator("main").textContent(), /every limit met|The pool shown is the one before/);
  await page.locator("#card-box").fill("Card 9");
  await page.locator("#card-box").press("Enter");
  await page.locator(".card-panel").getByText("Without a pool there is nothing to say of one card.").waitFor();
  await page.locator(".card-panel").getByRole("button", { name: "Close" }).click();
  const limits = await openPart(page, "limits");
  await limits.getByRole("button", { name: "Change spending cap" }).waitFor(); // limits can be changed though no pool keeps them
  await page.locator("#cap").fill("4");
  await page.locator("#cap").press("Enter");
  await solved(page, 1);
  await page.getByText(/your cap is 4\.00 \(asked here\)/).waitFor({ timeout: 60_000 });
  await page.locator("#cap").fill("6");
  await page.locator("#cap").press("Enter");
  await solved(page, 2);
  assert.match(await sentence.textContent(), /6 cards, 6\.00 to buy of 6\.00/);
  page.quiet();
  await page.context().close();
});

test("where no change of numbers mends it, that is said, without scripts too", async () => {
  const home = twelve(path.join(folder, "unmended"), "places: {each: colour, theme: 5, also: [tide, moon]}\n");
  assert.equal(JSON.parse(spawnSync(program, ["best", home, "--json"], { encoding: "utf8" }).stdout).repair.found, false);
  const file = path.join(folder, "unmended.html");
  spawnSync(program, ["page", home, "-o", file], { cwd: root });
  const words = "No change of numbers alone was found that mends it.";
  assert.ok(fs.readFileSync(file, "utf8").split('id="pool"')[0].includes(words));
  const page = await openPage(browser, file);
  await page.locator(".try").getByText(words).waitFor();
  page.quiet();
  await page.context().close();
});

test("new prices dropped on the page: since last time, each with its cause, to take, for later, or never", async () => {
  const page = await openPage(browser, demo);
  await ready(page);
  const home = await openPart(page, "home");
  const pool = readSheet((await handedOut(page, () => home.getByRole("button", { name: "The pool", exact: true }).click())).text).slice(1).map((row) => row[0]);
  const dear = pool.slice(100, 104);
  const news = `name,price,date\n${dear.map((name) => `"${name}",25.00,2026-05-01`).join("\n")}\n"${pool[104]}",0.01,2026-05-01\n`;
  await home.locator("input[type=file]").setInputFiles({ name: "may prices.csv", mimeType: "text/csv", buffer: Buffer.from(news) });
  await page.getByText("may prices.csv is read as prices").waitFor({ timeout: 60_000 });
  await page.getByText(/Prices of 2026-05-01; \d+ without a date\./).waitFor();
  const swaps = page.locator(".swaps > li");
  await swaps.first().waitFor({ timeout: 60_000 });
  assert.ok((await swaps.count()) <= 5);
  assert.match(await page.locator("[aria-labelledby=since]").textContent(), /breaks limits: it takes \d swaps? to meet them all\. With .* it has fit [\d.]+, the most with at most 5 swaps, and [\d.]+ is to pay:/);
  assert.match(await swaps.first().textContent(), /in, .* out\. /);
  assert.ok((await page.locator(".swaps").textContent()).includes("to 25.00"), "a risen price is given as the cause");
  const number = await swaps.count();
  await swaps.first().getByRole("button", { name: "Take" }).click();
  await page.getByText(/^taken: /).waitFor();
  const journal = await handedOut(page, () => home.getByRole("button", { name: "The journal with the swaps taken", exact: true }).click());
  const [columns, left, entered, ...more] = readSheet(journal.text);
  assert.deepEqual([journal.name, columns.join(), more.length], ["journal.csv", "date,change,card,copies,price,reason", 0]);
  assert.match(left.join(), /^\d{4}-\d\d-\d\d,out,.*,1,[\d.]*,./);
  assert.match(entered.join(), /^\d{4}-\d\d-\d\d,in,.*,1,[\d.]*,./);
  const never = swaps.first();
  await never.getByRole("button", { name: "Never, because ..." }).click();
  await never.getByLabel("Because").fill("no room in the box");
  await never.getByRole("button", { name: "Never", exact: true }).click();
  await page.getByText(/never: .*because no room in the box/).waitFor();
  await solved(page, 1);
  assert.ok(number >= 1);

  await home.locator("input[type=file]").setInputFiles({ name: "broken.csv", mimeType: "text/csv", buffer: Buffer.from("name,price\n\"Weather Bore\",many\n") });
  await page.getByText(/^Not taken: .*broken\.csv/).waitFor({ timeout: 60_000 });
  page.quiet();
  await page.context().close();
});

test("the page without a scenario: sheets dropped, what they hold asked, a first pool, a folder that the program reads", async () => {
  const page = await openPage(browser, writePage(path.join(folder, "empty.html")));
  const [header, ...rows] = readSheet(fs.readFileSync(path.join(root, "scenarios/demo/cards.csv"), "utf8"));
  const column = (name) => header.indexOf(name);
  const cards = sheet(["Card", "Hue", "Sort", "Costs", "Grade", "Tags"], rows.map((row) => ["name", "colours", "kind", "cost", "power", "tags"].map((name) => row[column(name)])));
  const prices = sheet(["Card", "worth"], rows.filter((_, at) => at % 50).map((row) => [row[column("name")], row[column("price")]]));
  const file = (name, text) => ({ name, mimeType: "text/csv", buffer: Buffer.from(text) });
  await page.locator("input[type=file]").first().setInputFiles([file("my list.csv", cards), file("worth.csv", prices)]);
  const form = page.locator("form.questions");
  await form.getByText("worth.csv: 1398 lines, read as prices").waitFor({ timeout: 60_000 });
  assert.match(await form.textContent(), /my list\.csv: 1427 lines, read as cards/);
  assert.match(await form.textContent(), /What shall candidates without a price count as/);
  await form.getByLabel("candidates shall be in the pool?").fill("many");
  await form.getByLabel("candidates shall be in the pool?").press("Tab");
  await form.getByText("the size: found many, expected a whole number").waitFor({ timeout: 60_000 });
  assert.ok(await form.getByRole("button", { name: "Choose a pool" }).isDisabled());
  await form.getByLabel("candidates shall be in the pool?").fill("90");
  await form.getByLabel("How much may be spent").fill("40");
  await form.getByText("plainly answered").click();
  await form.getByLabel("What does the column 'Grade' of my list.csv hold?").selectOption("own");
  await until(page, () => !document.querySelector("form.questions button[type=submit]").disabled && document.querySelector("form.questions [role=alert]") === null);
  await form.getByLabel("What does the column 'Grade' of my list.csv hold?").selectOption("power");
  await until(page, () => !document.querySelector("form.questions button[type=submit]").disabled);
  await form.getByRole("button", { name: "Choose a pool" }).click();
  await page.locator(".sentence").waitFor({ timeout: 120_000 });
  assert.match(await page.locator(".sentence").textContent(), /90 cards, [\d.]+ to buy of 40\.00/);
  assert.equal(await page.evaluate(() => scrollY), 0, "one begins at the top");
  const home = await openPart(page, "home");
  const [download] = await Promise.all([page.waitForEvent("download"), home.getByRole("button", { name: "The whole scenario, as a folder" }).click()]);
  const saved = path.join(folder, "mine");
  execFileSync("python3", ["-m", "zipfile", "-e", await download.path(), saved]);
  const best = JSON.parse(execFileSync(program, ["best", path.join(saved, "scenarios/mine"), "--json"], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] }));
  assert.deepEqual(best.pool.map((card) => card.name), readSheet((await handedOut(page, () => home.getByRole("button", { name: "The pool", exact: true }).click())).text).slice(1).map((row) => row[0]));
  page.quiet();
  await page.context().close();
});

test("from 400 to 1,600 pixels, light and dark: nothing runs over, and a checker for accessibility finds nothing", async () => {
  const axe = fs.readFileSync(needed.resolve("axe-core/axe.min.js"), "utf8");
  for (const [width, dark] of [[400, false], [700, true], [1100, true], [1600, false]]) {
    const page = await openPage(browser, demo, { width, dark });
    await ready(page);
    for (const id of PARTS) if (await page.locator(`#${id}`).count()) await openPart(page, id);
    await page.locator("#limits button[aria-label^=Change]").first().click();
    await page.locator("#card-box").fill("bait");
    await page.locator("#card-box").press("Enter");
    await page.locator(".card-panel").waitFor();
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth), 0, `at ${width}`);
    await page.evaluate(axe);
    const found = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ["violations"] }));
    assert.deepEqual(found.violations.map((one) => `${width} ${one.id}: ${one.nodes[0].html}`), []);
    await page.context().close();
  }
});

test("what was not found is not said to be impossible; without a pool there is nothing to say of one", async () => {
  const file = path.join(folder, "ended.html");
  assert.equal(spawnSync(program, ["page", "scenarios/small", "--effort", "1", "-o", file], { cwd: root }).status, 3);
  const page = await openPage(browser, file);
  await ready(page);
  for (const id of PARTS) if (await page.locator(`#${id}`).count()) await openPart(page, id);
  const text = await page.locator("#app").textContent();
  assert.match(text, /No pool was found before the search ended; there may be one/);
  assert.deepEqual((await rowsOf(page, "What if?")).map((row) => row[1]), ["not known", "not known", "not known"]);
  assert.doesNotMatch(text, /nothing fits|The pool shown is the one before|Nothing is to be bought|weakest:|No pool is possible/);
  assert.ok(await page.locator("#home").getByRole("button", { name: "The pool", exact: true }).isDisabled());
  await page.locator("#cap").fill("95");
  await page.locator("#cap").press("Enter");
  await solved(page, 1);
  assert.match(await page.locator(".sentence").textContent(), /180 cards, [\d.]+ to buy of 95\.00/);
  page.quiet();
  await page.context().close();
});

test("money that is held for prices which may rise is told apart from what is left", async () => {
  const home = twelve(path.join(folder, "risk"), "price_risk: {protect: 2}\n", "prices: [prices.csv]\n");
  fs.writeFileSync(path.join(home, "prices.csv"), `name,price,high\n${Array.from({ length: 12 }, (_, k) => `Card ${k},${k < 6 ? "0.50" : "0.90"},${k < 6 ? "0.80" : "1.10"}`).join("\n")}\n`);
  fs.writeFileSync(path.join(home, "cards.csv"), fs.readFileSync(path.join(home, "cards.csv"), "utf8").replace(/^(.*),[\d.]+,(tide|tide 2|moon)$/gm, "$1,,$2"));
  const page = await openPage(browser, writePage(path.join(folder, "risk.html"), home));
  assert.match(await page.locator(".sentence").textContent(), /6 cards, 5\.40 to buy of 6\.00 \(0\.60 left, 0\.40 of it for prices that may rise\)/);
  assert.equal(best(home).money.limits[0].protected, 5.8);
  await ready(page);
  const limits = await openPart(page, "limits");
  await limits.locator("select").first().selectOption("tight");
  const tight = async () => (await rowsOf(page, "What must hold, and how much is left")).map(([name]) => name.split("\n")[0]);
  assert.deepEqual(await tight(), ["size of the pool"]);
  await page.locator("#cap").fill("5.85"); // with less than a hundredth left it is used up, as `best` has it
  await page.locator("#cap").press("Enter");
  await solved(page, 1);
  assert.deepEqual(await tight(), ["size of the pool", "spending cap"]);
  page.quiet();
  await page.context().close();
});

test("on paper no table is wider than a sheet of A4, and names have room", async () => {
  const page = await openPage(browser, demo, { width: 718 }); // 190 mm
  await ready(page);
  await page.emulateMedia({ media: "print" });
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  await until(page, () => [...document.querySelectorAll("#app table")].some((table) => table.caption?.textContent === "What if?"));
  assert.deepEqual(await page.evaluate(() => [...document.querySelectorAll("#app table")].filter((table) => table.getBoundingClientRect().right > document.documentElement.clientWidth + 1).map((table) => table.caption?.textContent)), []);
  assert.deepEqual(await page.evaluate(() => [...document.querySelectorAll(".part .more:not([open])")].filter((one) => one.getClientRects().length).map((one) => one.textContent)), [], "nothing to press on paper");
  assert.ok((await page.evaluate(() => Math.min(...[...document.querySelectorAll("#app table tbody th")].map((cell) => cell.getBoundingClientRect().width).filter(Boolean)))) > 60, "room for a word");
  page.quiet();
  await page.context().close();
});

test("a theme that the choice leaves out comes last and is not the weakest; what combinations have is told; without the choice fit is counted in another way", async () => {
  const home = twelve(path.join(folder, "choice"), "choose: {from: [tide, moon], exactly: 1}\ntogether: [{name: pairs, parts: [[Card 9], [Card 10, Card 11]], bonus: 2}]\nevenness: 1\n");
  const { themes, weakest, structure } = best(home);
  const page = await openPage(browser, writePage(path.join(folder, "choice.html"), home));
  await ready(page);
  const left = themes.find((theme) => theme.counts === false).name;
  assert.notEqual(left, weakest);
  assert.deepEqual((await rowsOf(page, "Themes by strength")).map(([name]) => name), [`${weakest} weakest`, `${left} not chosen`]);
  assert.match(await (await openPart(page, "themes")).locator("> summary").textContent(), new RegExp(`2; weakest: ${weakest}`));
  await openPart(page, "structure");
  const has = Object.fromEntries((await rowsOf(page, "What adds fit beyond single cards")).map(([name, what]) => [name, what]));
  const sets = structure.find((one) => one.kind === "sets");
  assert.equal(has.pairs, `${sets.sets} whole set${sets.sets === 1 ? "" : "s"}; ${sets.parts.flatMap((part, k) => (part.alone ? [`part ${k + 1} hangs on ${part.alone} alone`] : [])).join("; ")}`);
  const limits = await openPart(page, "limits");
  await limits.locator("select").first().selectOption("all");
  await limits.getByRole("row", { name: /choice/ }).getByRole("button", { name: /^Change/ }).click();
  await limits.getByRole("button", { name: /^Switch off/ }).click();
  assert.match(await solved(page, 1), /fit [\d.]+ \(counted in another way than before\)/);
  const { cards } = JSON.parse(execFileSync(program, ["ask", home], { encoding: "utf8", input: JSON.stringify({ ask: "cards", change: { choose: [{ name: "themes", off: "yes" }] } }) }));
  const list = await openPart(page, "list");
  await list.getByLabel("Show").selectOption("all");
  const fits = async () => Object.fromEntries((await rowsOf(page, "Candidates")).map((row) => [row[0], Number(row[8])]));
  assert.deepEqual(await fits(), Object.fromEntries(cards.map((card) => [card.name, card.fit])));
  page.quiet();
  await page.context().close();
});

test("a theme that the pool does not choose is short of nothing, in the pictures either, with and without scripts", async () => {
  const home = twelve(path.join(folder, "unchosen"), "choose: {from: [tide, moon], exactly: 1}\nseats: {seats: 2, packs: 1, pack_size: 3}\n");
  const cards = path.join(home, "cards.csv");
  fs.writeFileSync(cards, fs.readFileSync(cards, "utf8").replace(/,(tide|moon)$/gm, ",$1 enabler").replace(/tide 2$/gm, "tide payoff 2"));
  const left = best(home).themes.find((theme) => theme.counts === false).name;
  const kept = left === "moon" ? "tide" : "moon";
  const file = writePage(path.join(folder, "unchosen.html"), home);
  const page = await openPage(browser, file);
  const seats = await openPart(page, "seats");
  await seats.getByText(`${left} is not chosen in this pool: nothing is short of it.`).waitFor();
  const scripted = await seats.locator("svg.seen").evaluateAll((all) => all.map((one) => one.textContent));
  const still = [...fs.readFileSync(file, "utf8").split('id="pool"')[0].matchAll(/<svg class="picture seen".*?<\/svg>\n/gs)].map(([text]) => text);
  for (const pictures of [scripted, still]) {
    assert.equal(pictures.length, 2);
    for (const text of pictures) assert.ok(text.includes(kept) && /of 1 theme(;|$|<|marks)/.test(text) && !text.includes(left), text);
  }
  page.quiet();
  await page.context().close();
});

test("long names of colours wrap on a narrow screen, on the page and on that of the players", async () => {
  const home = twelve(path.join(folder, "long"), "");
  for (const name of ["cards.csv", "model.yaml"]) fs.writeFileSync(path.join(home, name), fs.readFileSync(path.join(home, name), "utf8").replaceAll("rye", "the-colour-of-rye-before-the-harvest"));
  const page = await openPage(browser, writePage(path.join(folder, "long.html"), home), { width: 360 });
  const section = page.locator("table", { hasText: "Money by section" }).getByRole("rowheader", { name: "the-colour-of-rye-before-the-harvest" });
  const [words, cell] = [await section.locator(".colours").boundingBox(), await section.boundingBox()];
  assert.ok(words.x + words.width <= cell.x + cell.width + 1, `${words.x + words.width} of ${cell.x + cell.width}`);
  await page.context().close();
  const context = await browser.newContext({ viewport: { width: 360, height: 900 } });
  const players = await context.newPage();
  await players.goto(`file://${writePage(path.join(folder, "players.html"), home, "--drafters")}`);
  assert.equal(await players.evaluate(() => document.documentElement.scrollWidth - window.innerWidth), 0);
  await context.close();
});
