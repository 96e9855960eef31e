// Sheets that come to the page and files that leave it, against what the program makes of the same; names that are anything but harmless.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";
import { after, before, test } from "node:test";
import { freshFolder, launch, openPage, openPart, ready, solved, until, writePage } from "./browse.mjs";
import { program, root } from "./support.mjs";

const folder = freshFolder();
const books = path.join(root, "tests/data/workbooks");
let browser, written, empty;

before(async () => {
  written = writePage(path.join(folder, "books.html"), books, "--effort", "20000");
  empty = writePage(path.join(folder, "empty.html"));
  browser = await launch();
});
after(() => browser?.close());

const best = (...options) => JSON.parse(execFileSync(program, ["best", ...options, "--json"], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] }));

async function drop(page, ...files) {
  const home = await openPart(page, "home");
  const said = () => document.querySelector("#home .drop [role=status]")?.textContent ?? "";
  const old = await page.evaluate(said);
  await home.locator("input[type=file]").setInputFiles(files);
  await until(page, (before) => !["", "being read ...", before].includes(document.querySelector("#home .drop [role=status]")?.textContent ?? ""), old);
  return home.locator(".drop [role=status]").textContent();
}

async function bytes(page, name) {
  const home = await openPart(page, "home");
  const [download] = await Promise.all([page.waitForEvent("download"), home.getByRole("button", { name, exact: true }).click()]);
  return fs.readFileSync(await download.path());
}

const text = (name, content) => ({ name, mimeType: "text/csv", buffer: Buffer.from(content) });
const wide = (name, content) => ({ name, mimeType: "text/plain", buffer: Buffer.from(`\uFEFF${content}`, "utf16le") });

test("the pool as a sheet and as a workbook are those that the program writes, also after a change", async () => {
  const page = await openPage(browser, written);
  await ready(page);
  const same = async (...options) => {
    for (const [name, title] of [["pool.csv", "The pool"], ["pool.xlsx", "The pool as a workbook"]]) {
      const file = path.join(folder, name);
      execFileSync(program, ["best", books, ...options, "-o", file], { stdio: "ignore" });
      assert.ok((await bytes(page, title)).equals(fs.readFileSync(file)), `${name} ${options}`);
    }
  };
  await same();
  await page.locator("#card-box").fill("Zoë Ferry");
  await page.locator("#card-box").press("Enter");
  await page.locator(".card-panel").getByRole("button", { name: "Ban", exact: true }).click();
  await solved(page, 1);
  const pool = (await bytes(page, "The pool")).toString();
  const banned = best(books, "--ban", "Zoë Ferry").pool.map((card) => card.name);
  assert.deepEqual(banned.filter((name) => !pool.includes(name.replaceAll('"', '""'))), []);
  page.quiet();
  await page.context().close();
});

test("what is noticed in files is told, of those that are dropped too, as the command line tells it", async () => {
  const page = await openPage(browser, written);
  await ready(page);
  const remarks = page.locator(".first details");
  const told = async (number) => {
    await remarks.getByText(`${number} remarks on the files`).waitFor();
    if ((await remarks.getAttribute("open")) === null) await remarks.locator("summary").click();
    await remarks.locator("li").first().waitFor();
    return remarks.locator("li").allTextContents();
  };
  const notices = best(books).notices.map((one) => one.text);
  assert.deepEqual((await told(2)).map((line) => line.replace(/ \S+$/, "")), notices);
  await drop(page, text("may prices.csv", "name,price\nZoe Kilm,2.00\n"));
  assert.match(await drop(page, text("april.csv", "name,April 2026\nZoë Kiln,2.00\nZoë Ferry,1.00\n")), /^Not taken: april\.csv names candidates, and no column says what of them: expected price, copies/);
  assert.ok((await told(3)).some((line) => /names? no candidate.*Zoe Kilm.*may prices\.csv/.test(line)));
  page.quiet();
  await page.context().close();
});

test("notes under a title and in words of another language are notes too, as `feedback` reads them", async () => {
  const page = await openPage(browser, written);
  await ready(page);
  const notes = "Spielabend;;;\nKarte;Urteil;Datum;Bemerkung\nZoë Kiln;better;14.11.2026;gut\nZoë Ferry;-0,5;;\n";
  assert.match(await drop(page, wide("Abend.txt", notes)), /Abend\.txt holds notes from play/);
  assert.match(await solved(page, 1), /new powers of \d cards?, by notes/);
  await page.locator("#card-box").fill("Zoë Kiln");
  await page.locator("#card-box").press("Enter");
  await page.locator(".card-panel").getByText("14.11.2026: better: gut").waitFor();
  assert.match(await drop(page, text("Abend zwei.csv", "Karte;Urteil\nZoë Kiln;schlechter\n")), /^Not taken: Abend zwei\.csv: found 'schlechter' beside Zoë Kiln, expected better/);
  page.quiet();
  await page.context().close();
});

test("notes in a workbook are notes: shown with their days, tried as new powers, and not lost without a question", async () => {
  const page = await openPage(browser, written);
  await ready(page);
  const asksBeforeItCloses = () => page.evaluate(() => {
    const event = new Event("beforeunload", { cancelable: true });
    dispatchEvent(event);
    return event.defaultPrevented;
  });
  assert.equal(await asksBeforeItCloses(), false);
  assert.match(await drop(page, path.join(books, "from-csv/notes.xlsx")), /notes\.xlsx holds notes from play/);
  assert.match(await solved(page, 1), /new powers of \d cards, by notes/);
  await page.locator("#card-box").fill("Zoë Kiln");
  await page.locator("#card-box").press("Enter");
  await page.locator(".card-panel").getByText("2026-10-03: 0.5: seen twice").waitFor();
  assert.equal(await asksBeforeItCloses(), true);
  const again = path.join(folder, "with notes.html");
  fs.writeFileSync(again, await bytes(page, "This page, with all that was tried"));
  assert.equal(await asksBeforeItCloses(), false);
  const second = await openPage(browser, again);
  await ready(second);
  await second.locator("#card-box").fill("Zoë Kiln");
  await second.locator("#card-box").press("Enter");
  await second.locator(".card-panel").getByText("2026-10-03: 0.5: seen twice").waitFor();
  second.quiet();
  await second.context().close();
  page.quiet();
  await page.context().close();
});

test("new prices take the place of older ones of the same cards, whatever file these stand in", async () => {
  const page = await openPage(browser, written);
  await ready(page);
  assert.match(await drop(page, path.join(books, "from-csv/prices.xlsx")), /17 older prices in prices\.csv no longer count; prices\.xlsx is read as prices/);
  assert.match(await drop(page, wide("may.csv", "name\tprice\tdate\nZoë Warden\t9.00\t5/31/2026\nZoë Ferry\t8.50\t5/1/2026\n")), /2 older prices in prices\.xlsx no longer count; may\.csv is read as prices/);
  await page.locator("#card-box").fill("Zoë Warden");
  await page.locator("#card-box").press("Enter");
  assert.equal(await page.getByLabel("price of Zoë Warden").inputValue(), "9.00");
  const archive = path.join(folder, "books.zip"), unpacked = path.join(folder, "unpacked");
  fs.writeFileSync(archive, await bytes(page, "The whole scenario, as a folder"));
  execFileSync("python3", ["-m", "zipfile", "-e", archive, unpacked]);
  const scenario = fs.readdirSync(unpacked, { recursive: true }).find((name) => name.endsWith("scenario.yaml"));
  const yaml = fs.readFileSync(path.join(unpacked, scenario), "utf8");
  assert.match(yaml, /^prices: \[prices older\.csv, may\.csv\]$/m);
  const fit = best(path.join(unpacked, scenario)).fit;
  await page.getByText(`Fit ${fit}:`).first().waitFor();
  const pool = (await bytes(page, "The pool")).toString();
  assert.match(await drop(page, text("our pool.csv", pool)), /our pool\.csv is read as the present pool/);
  assert.match(await drop(page, text("history.csv", "date,change,card\n2026-01-02,out,Zoë Kiln\n")), /history\.csv is read as the journal/);
  await page.getByText("No single swap makes the pool better.").waitFor();
  assert.match(await drop(page, text("odd.csv", "what,else\n1,2\n")), /^Not taken: odd\.csv has no column name/);
  page.quiet();
  await page.context().close();
});

test("a scenario's folder dropped on the page without one: its pool, and its cases when they are asked for", async () => {
  const home = path.join(folder, "river");
  fs.cpSync(path.join(books), home, { recursive: true, filter: (name) => !/from-csv|resaved|make|\.(xlsx|ods)$/.test(name) });
  fs.appendFileSync(path.join(home, "scenario.yaml"), "cases:\n  - {name: rich, change: {spending_cap: 60}}\n");
  const page = await openPage(browser, empty);
  await page.locator("input[webkitdirectory]").setInputFiles(home);
  await page.locator(".sentence").waitFor({ timeout: 60_000 });
  assert.match(await page.locator(".sentence").textContent(), new RegExp(`Fit ${best(home).fit}:`));
  await ready(page);
  const cases = await openPart(page, "cases");
  await cases.getByRole("button", { name: "Solve the scenario's cases" }).click();
  const rich = cases.locator("tbody tr", { hasText: "rich" }).first();
  await rich.waitFor({ timeout: 60_000 });
  assert.match(await rich.textContent(), new RegExp(`rich${best(home, "--case", "rich").fit}.*spending cap: 60`));
  page.quiet();
  await page.context().close();
});

test("sheets to begin with: a mended one takes the place of the one that could not be read, and one can begin anew", async () => {
  const page = await openPage(browser, empty);
  const give = (name, content) => page.locator("input[type=file]").first().setInputFiles([text(name, content)]);
  const cards = Array.from({ length: 30 }, (_, k) => `Card ${k},${k % 2 ? "rye" : "teal"},crew,${k % 4},${k},0.50`).join("\n");
  await give("list.csv", `name,colours,kind,cost,power,price\n"${cards}\n`);
  await page.getByText("found the end of the file in a quoted field that begins here").waitFor();
  await give("model.yaml", "size: 3\n");
  await page.getByText("Not taken: these are rules without a list").waitFor();
  await give("list.csv", `name,colours,kind,cost,power,price\n${cards}\n`);
  await page.getByText("list.csv: 30 lines, read as cards").waitFor();
  assert.deepEqual([await page.locator(".problem").count(), await page.locator(".questions li").count()], [0, 1]);
  await page.getByRole("button", { name: "Begin anew" }).click();
  await page.getByText("Or begin without a list").waitFor();
  assert.equal(await page.locator("form.questions li").count(), 0);
  page.quiet();
  await page.context().close();
});

test("a browser that is too old for the optimiser says so, and which ones are not", async () => {
  for (const lacking of ["delete globalThis.DecompressionStream", "delete globalThis.WebAssembly", "WebAssembly.validate = () => false"])
    for (const file of [empty, written]) {
      const context = await browser.newContext();
      const page = await context.newPage();
      await page.addInitScript(lacking);
      await page.goto(pathToFileURL(file).href);
      await page.getByText("too old for the optimiser: it takes Chrome or Edge 93").first().waitFor();
      assert.equal(await page.locator("input[type=file]:visible").count(), 0);
      await context.close();
    }
});

test("without a list: a size, colours and themes become a first scenario with sample cards, as `init` makes it", async () => {
  const page = await openPage(browser, empty);
  await page.getByText("Or begin without a list").click();
  const form = page.locator("form.questions");
  await form.getByLabel("How many cards").fill("90");
  await form.getByLabel("colours called").fill("rye, teal");
  await form.getByLabel("built around").fill("eels=rye; bells=rue");
  await form.getByRole("button", { name: "Make a first scenario" }).click();
  await form.getByText("themes: found the colour 'rue', expected one of rye, teal").waitFor();
  await form.getByLabel("built around").fill("eels=rye; bells=rye+teal");
  await form.getByRole("button", { name: "Make a first scenario" }).click();
  await page.locator(".sentence").waitFor({ timeout: 60_000 });
  const made = path.join(folder, "init");
  execFileSync(program, ["init", made, "--size", "90", "--colours", "rye, teal", "--themes", "eels=rye; bells=rye+teal"], { stdio: "ignore" });
  assert.match(await page.locator(".sentence").textContent(), new RegExp(`90 cards.*Fit ${best(made).fit}:`, "s"));
  assert.equal(await page.locator(".unseen[role=status]").textContent(), `Opened: fit ${best(made).fit}, ${best(made).cost.toFixed(2)} to buy`, "who does not see the page is told too");
  page.quiet();
  await page.context().close();
});

test("names that mean something to a program are shown, looked at, kept and banned as any other; on paper all stands open", async () => {
  const names = ["__proto__", "constructor", "toString", '=HYPERLINK("a","b")', "'=x", "-", "null", "007", "\u202Eright", "Ä".repeat(120), "[a](javascript:b)", "${x} %s \\ `", "name", "none"];
  const home = path.join(folder, "names");
  fs.mkdirSync(home);
  const cell = (value) => `"${value.replaceAll('"', '""')}"`;
  fs.writeFileSync(path.join(home, "cards.csv"), `name,colours,kind,cost,power,price,tags\n${[...names, ...Array.from({ length: 30 }, (_, k) => `Card ${k}`)].map((name, k) => [cell(name), ["constructor", "teal"][k % 2], "__proto__", k % 5, 1 + (k * 7) % 10, "0.50", "toString enabler 1"].join()).join("\n")}\n`);
  fs.writeFileSync(path.join(home, "model.yaml"), "size: 20\nspending_cap: 10\ncolours: [constructor, teal]\nthemes:\n  - {name: toString}\nrules:\n  - {name: constructor, each: colour, where: {class: mono}, at_least: 8}\n");
  fs.writeFileSync(path.join(home, "scenario.yaml"), "model: model.yaml\ncards: [cards.csv]\n");
  const page = await openPage(browser, writePage(path.join(folder, "names.html"), home), { width: 400 });
  await ready(page);
  let steps = 0;
  for (const name of names.map((one) => one.replace(/^'=/, "="))) {
    await page.locator("#card-box").fill(name);
    await page.locator("#card-box").press("Enter");
    assert.equal(await page.locator("#card-name").textContent(), name);
    await page.locator(".card-panel").getByRole("button", { name: steps % 2 ? "Keep" : "Ban", exact: true }).click();
    await solved(page, ++steps);
    assert.match(await page.locator(".card-panel .verdict").textContent(), steps % 2 ? /Out\./ : /In\./, name);
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth), 0, name);
    await page.locator(".card-panel").getByRole("button", { name: "Close" }).click();
  }
  const themes = await openPart(page, "themes");
  await themes.getByLabel("Weight of toString").fill("2");
  await themes.getByLabel("Weight of toString").press("Enter");
  await solved(page, ++steps);
  const kept = path.join(folder, "wishes.csv");
  fs.writeFileSync(kept, await bytes(page, "Keeps, bans and wishes"));
  fs.writeFileSync(path.join(home, "scenario.yaml"), "model: model.yaml\ncards: [cards.csv]\ntags: [../wishes.csv]\nchange: {themes: {toString: {weight: 2}}}\n");
  const answer = best(home);
  await page.getByText(`Fit ${answer.fit}:`).first().waitFor();
  assert.doesNotMatch(await page.locator("main").textContent(), /NaN|undefined|\[object|native code/);
  await page.evaluate(() => dispatchEvent(new Event("beforeprint")));
  assert.equal(await page.locator("#limits, #themes, #colours, #shopping").locator(".inside").count(), 4);
  assert.equal(await page.locator("#shopping tbody tr").count(), 20);
  await page.evaluate(() => dispatchEvent(new Event("afterprint")));
  assert.equal(await page.locator("#shopping .inside").count(), 0);
  page.quiet();
  await page.context().close();
});
