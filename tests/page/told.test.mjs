// The page in a browser: what it tells of small scenarios is what the command line tells, also as they are changed.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { after, before, test } from "node:test";
import { readSheet } from "../../src/page/app/sheet-text.js";
import { best, freshFolder, launch, openPage, openPart, ready, rowsOf, solved, twelve, until, writePage } from "./browse.mjs";
import { program } from "./support.mjs";

const folder = freshFolder();
let browser;

before(async () => {
  browser = await launch();
});
after(() => browser?.close());

test("what is only watched stands beside the limits, told apart, and follows the pool; shares and money are written as such", async () => {
  const home = twelve(path.join(folder, "watched"), "rules:\n  - {name: half rye, where: {colours: rye}, at_least: 50%}\n  - {name: teal money, where: {colours: teal}, measure: spend, at_most: 4.5}\n"
    + "  - {name: watched cheap, where: {cost: {to: 1}}, at_least: 3, watch: yes}\n  - {name: watched share, where: {colours: teal}, at_most: 50%, watch: yes}\n  - {name: watched average, where: {cost: {from: 9}}, measure: cost, average_at_most: 3, watch: yes}\n");
  const page = await openPage(browser, writePage(path.join(folder, "watched.html"), home));
  await ready(page);
  const limits = await openPart(page, "limits");
  await limits.locator("select").first().selectOption("all");
  const caption = "Watched: only counted, nothing has to keep them";
  const told = (answer) => answer.watches.rules.map((one) => [one.has, one.within ? "yes" : "outside its band"].join());
  const shown = async () => (await rowsOf(page, caption)).map(([, , has, within]) => [has, within].join());
  assert.deepEqual(await shown(), told(best(home)));
  const asked = async (name) => (await rowsOf(page, "What must hold, and how much is left")).find(([limit]) => limit.startsWith(name));
  assert.deepEqual((await asked("half rye")).slice(1, 3), ["at least 50%", "50%"]);
  assert.deepEqual((await asked("teal money")).slice(1, 3), ["at most 4.50", "3.00"]);
  assert.equal(await asked("watched"), undefined, "watches are no limits");
  assert.match(await limits.locator("> summary").textContent(), /; 3 watched, 1 outside/);
  for (const [at, name] of [[1, "Card 10"], [2, "Card 11"]]) {
    await page.locator("#card-box").fill(name);
    await page.locator("#card-box").press("Enter");
    await page.locator(".card-panel").getByRole("button", { name: "Ban", exact: true }).click();
    await solved(page, at);
  }
  const after = best(home, "--ban", "Card 10", "--ban", "Card 11");
  assert.deepEqual(await shown(), told(after));
  assert.notDeepEqual(told(after), told(best(home)), "or it would show nothing");

  const form = limits.locator("form.new-limit");
  await form.getByLabel("Called").fill("hardly teal");
  await form.locator("select").nth(1).selectOption("colours");
  await form.getByLabel("is", { exact: true }).fill("teal");
  await form.getByLabel("at most").fill("34");
  await form.getByLabel("percent of the pool").check();
  await form.getByRole("button", { name: "Solve with it" }).click();
  await solved(page, 3);
  assert.deepEqual((await asked("hardly teal")).slice(1, 3), ["at most 34%", "33.3%"]);
  page.quiet();
  await page.context().close();
});

test("limits, and how far they are loosened, are told as the command line tells them; the cap that is moved is the one that is written", async () => {
  const home = twelve(path.join(folder, "written"), "headroom: 10%\nrules:\n  - {name: teal, where: {colours: teal}, exactly: 3}\n  - {name: early, where: {cost: {to: 1}}, at_least: 5, soft: 0.5}\n  - {name: costs, measure: cost, average_at_most: 1.75}\n  - {name: nobody, where: {cost: {from: 9}}, measure: cost, average_at_most: 3}\n");
  const page = await openPage(browser, writePage(path.join(folder, "written.html"), home));
  await ready(page);
  const limits = await openPart(page, "limits");
  const said = (...options) => execFileSync(program, ["best", home, "--rules", "--full", ...options], { encoding: "utf8", env: { ...process.env, COLUMNS: "200" }, stdio: ["ignore", "pipe", "ignore"] }).replaceAll(/\s+/g, " ");
  const tells = async (...options) => {
    await limits.locator("select").first().selectOption("all");
    await until(page, () => !document.querySelector(".step-bar")?.textContent.includes("finding reasons"));
    const text = said(...options);
    const rows = (await rowsOf(page, "What must hold, and how much is left")).filter((row) => row.length > 2); // not the form below a line
    assert.equal(rows.length, 6);
    for (const [name, asks, has, left, worth] of rows) {
      const title = name.replace(/(model|scenario)\.yaml.*$|asked here$/, "").trim();
      assert.ok(text.includes(`${title} ${asks} ${has} ${left}`), `${title} ${asks} ${has} ${left}: ${text}`);
      for (const [, change] of worth.matchAll(/(with [^:]*): \+/g)) assert.ok(text.includes(change), `${title}: ${change}: ${text}`);
    }
    const sentence = (await page.locator(".sentence").textContent()).replaceAll(/\s+/g, " ");
    const [, cards, met] = /^(.*?), fit [\d.]+; (every .*?)\. No /.exec(text);
    assert.ok(sentence.includes(cards) && sentence.includes(`; ${met}.`), `${sentence} ${cards} ${met}`);
  };
  await tells();
  assert.match(await page.locator(".sentence").textContent(), /of 5\.40 \(.*; the cap is 6\.00 less headroom\)/);
  assert.equal(await page.locator("#cap").inputValue(), "6");
  await limits.getByRole("button", { name: "Change spending cap" }).click();
  assert.equal(await limits.getByLabel("at most", { exact: true }).first().inputValue(), "6");
  await limits.getByRole("button", { name: "One looser" }).click();
  assert.match(await solved(page, 1), /cap 7\.00/);
  await tells("--cap", "7");
  await page.locator("#cap").fill("4");
  await page.locator("#cap").press("Enter");
  await solved(page, 2);
  await tells("--cap", "4");
  page.quiet();
  await page.context().close();
});

test("a card's score matters where a point more or less changes the pool, as it is proven, and nowhere else", async () => {
  const home = twelve(path.join(folder, "scores"), "fit: {power: 3}\n");
  const file = writePage(path.join(folder, "scores.html"), home);
  const page = await openPage(browser, file);
  const firm = JSON.parse(/<script[^>]*id="pool"[^>]*>([^]*?)<\/script>/.exec(fs.readFileSync(file, "utf8"))[1]).best.firmness;
  assert.ok(firm.cards.some((card) => card.score_matters === "no"), "or it would show nothing");
  const part = await openPart(page, "firm");
  await part.locator("table").first().waitFor();
  const words = { yes: "matters", no: "", unknown: "not known" };
  const told = new Map((await rowsOf(page, "The cards on which the least fit hangs first")).map((row) => [row[0], row[4]]));
  assert.equal(told.size, firm.cards.length);
  for (const card of firm.cards) assert.equal(told.get(card.name), words[card.score_matters], card.name);
  assert.match(await part.locator("> summary").textContent(), /when every power moves by a random point up or down, [\d.]+% of the pool stays/);
  page.quiet();
  await page.context().close();
});

test("a case has candidates, prices, powers and weights of its own, and so have prices that are tried: all parts of the page tell of these", async () => {
  const home = twelve(path.join(folder, "own"), "handling: 0.05\n", "cases:\n  - name: box\n    files: [box.csv]\n    cards: {Card 11: {price: 0.10, power: 12}}\n    change: {themes: {moon: {weight: 5}}}\n");
  fs.writeFileSync(path.join(home, "box.csv"), "name,colours,kind,cost,power,price,tags\nBoxed,teal,crew,1,20,2.00,moon 3\n");
  const page = await openPage(browser, writePage(path.join(folder, "own.html"), home));
  await ready(page);
  for (const id of ["cases", "themes", "shopping", "list"]) await openPart(page, id);
  const adds = async (answer) => {
    const cents = (text) => Math.round(100 * Number(text));
    assert.match(await page.locator(".sentence").textContent(), new RegExp(`, ${answer.cost.toFixed(2)} to buy`));
    assert.equal((await rowsOf(page, "Money by section")).reduce((sum, row) => sum + cents(row[3]), 0), cents(answer.cost));
    assert.equal((await rowsOf(page, "To buy, dearest first")).reduce((sum, row) => sum + cents(row[3]), 0), cents(answer.cost));
    assert.deepEqual((await rowsOf(page, "Candidates")).map((row) => [row[0], row[7], row[8]].join()).sort(), answer.pool.map((card) => [card.name, card.price.toFixed(2), card.fit].join()).sort());
    for (const theme of answer.themes) assert.equal(Number((await rowsOf(page, "Is each theme deep enough?")).find(([name]) => name.startsWith(theme.name))[6]), theme.strength);
  };
  await adds(best(home));
  await page.locator("#cases").getByRole("button", { name: "go there: the case box" }).click();
  await solved(page, 1);
  const box = best(home, "--case", "box");
  assert.ok(box.pool.some((card) => card.name === "Boxed"));
  await adds(box);
  await page.locator("#card-box").fill("boxed");
  await page.locator("#card-box").press("Enter");
  assert.match(await page.locator(".card-panel .verdict").textContent(), /In\./);
  await page.getByLabel("price of Boxed").fill("1.25");
  await page.getByLabel("price of Boxed").press("Enter");
  await solved(page, 2);
  fs.appendFileSync(path.join(home, "scenario.yaml"), "  - name: tried\n    files: [box.csv]\n    cards: {Card 11: {price: 0.10, power: 12}, Boxed: {price: 1.25}}\n    change: {themes: {moon: {weight: 5}}}\n");
  await adds(best(home, "--case", "tried"));
  await page.getByRole("button", { name: "Undo" }).click();
  await page.getByRole("button", { name: "Undo" }).click();
  await solved(page, 0);
  await adds(best(home));
  page.quiet();
  await page.context().close();
});

test("copies: each that enters stands beside one that leaves, and is paid for where it must be bought; the dearest are those of the sheet; what was found of one state is not told of another", async () => {
  const home = twelve(path.join(folder, "copies"), "", "pool: now.csv\n");
  fs.writeFileSync(path.join(home, "cards.csv"), "name,colours,kind,cost,power,price,copies,owned\nTwice,rye,crew,1,9,1.10,3,1\nOnce,teal,crew,1,8,2.00,1,0\nOld,teal,crew,1,2,0.50,1,0\nOlder,teal,crew,1,1,0.50,2,0\nSide,rye,crew,1,7,1.00,2,2\n");
  fs.writeFileSync(path.join(home, "now.csv"), "name,copies\nOld,1\nOlder,2\nSide,2\nTwice,1\n");
  const answer = best(home);
  assert.deepEqual(answer.pool.map(({ name, copies }) => [name, copies].join()), ["Once,1", "Side,2", "Twice,3"]);
  const file = writePage(path.join(folder, "copies.html"), home);
  const page = await openPage(browser, file);
  await ready(page);
  await openPart(page, "changes");
  const rows = await rowsOf(page, "Swap by swap");
  assert.deepEqual(rows.map((row) => row[0]).sort(), ["Once", "Twice", "Twice"]);
  assert.deepEqual(rows.map((row) => row[1]).sort(), ["Old", "Older", "Older"]);
  assert.equal(rows.reduce((sum, row) => sum + Number(row[3]), 0), answer.cost);
  const list = path.join(home, "shopping.csv");
  best(home, "--shopping", list);
  const bought = readSheet(fs.readFileSync(list, "utf8")).filter(([what]) => what === "buy");
  assert.deepEqual(bought.map(([, name, , each, sum]) => [name, each, sum].join()), ["Once,2.00,2.00", "Twice,1.10,2.20"]);
  await openPart(page, "shopping");
  assert.deepEqual((await rowsOf(page, "To buy, dearest first")).map(([name]) => name), bought.map(([, name]) => name));
  assert.deepEqual(await page.locator("#shopping tr.dear th").allTextContents(), bought.filter((line) => line.includes("dear")).map(([, name]) => name));
  const still = fs.readFileSync(file, "utf8").split("<caption>To buy, dearest first</caption>")[1];
  assert.ok(still.indexOf("Once") < still.indexOf("Twice"), "without scripts too");
  await page.locator("#changes").getByRole("button", { name: "Find it" }).click();
  await page.locator("#changes").getByText(`Fit ${answer.fit}, the best there is (proven); ${answer.cost.toFixed(2)} to buy, with 3 out and 3 in.`).waitFor();
  const frontier = await openPart(page, "frontier");
  await page.locator("#cap").fill("1.5");
  await page.locator("#cap").press("Enter");
  await solved(page, 1);
  await frontier.getByRole("button", { name: "Find it for the present state" }).click();
  await frontier.getByText("of the state as tried").waitFor();
  const knee = /From a cap of ([\d.]+) on/.exec(await frontier.textContent())?.[1];
  assert.equal((await frontier.locator("summary").first().textContent()).includes("knee at"), knee !== undefined);
  if (knee) assert.ok((await frontier.locator("summary").first().textContent()).includes(`knee at ${knee}`));
  assert.equal(await page.locator("#changes [role=status]").textContent(), "", "what was found of another state is not told of this one");
  await page.getByRole("button", { name: "Undo" }).click();
  await page.locator("#cap").fill("1");
  await page.locator("#cap").press("Enter");
  await solved(page, 1); // another step of the same number
  assert.equal(await frontier.getByText("of the state as tried").count(), 0);
  page.quiet();
  await page.context().close();
});

test("what could stand in a card's place is told as `swap` tells it, the same job for less money first", async () => {
  const home = twelve(path.join(folder, "places"), "");
  fs.writeFileSync(path.join(home, "cards.csv"), `name,colours,kind,cost,power,price,tags\n${Array.from({ length: 12 }, (_, k) => `Card ${k},${k % 3 ? "rye" : "teal"},crew,2,${k},${k < 6 ? "0.50" : "1.00"},${k % 2 ? "tide payoff" : ""}`).join("\n")}\n`);
  const page = await openPage(browser, writePage(path.join(folder, "places.html"), home));
  await ready(page);
  const swap = (name, ...options) => execFileSync(program, ["swap", home, name, ...options], { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
  const marks = new Set();
  for (const { name } of best(home).pool) {
    const { single } = JSON.parse(swap(name, "--json")).swaps[0];
    const words = /\d+ cards? could replace it alone[^:]*:/.exec(swap(name).replace(/\s+/g, " "))?.[0];
    await page.locator("#card-box").fill(name);
    await page.locator("#card-box").press("Enter");
    await page.locator(".card-panel").getByText(words ?? "No single card").waitFor();
    const told = (await page.locator(".card-panel .plain li").allTextContents()).map((line) => line.split(":")[0]);
    const inOrder = [...single.filter((one) => one.same_job), ...single.filter((one) => !one.same_job)].map((one) => one.name);
    if (single.length) assert.deepEqual(told, inOrder);
    for (const one of single) marks.add(one.same_job);
  }
  assert.deepEqual([...marks].sort(), [false, true]);
  page.quiet();
  await page.context().close();
});

test("the reasons of a card that is looked at are asked anew where new sheets come", async () => {
  const home = twelve(path.join(folder, "anew"), "");
  const page = await openPage(browser, writePage(path.join(folder, "anew.html"), home));
  await ready(page);
  await page.locator("#card-box").fill("Card 1");
  await page.locator("#card-box").press("Enter");
  const reasons = page.locator(".card-panel .reasons");
  await reasons.getByText("(now 3)").waitFor();
  const cards = fs.readFileSync(path.join(home, "cards.csv"), "utf8").replace("Card 1,rye,crew,1,1,", "Card 1,rye,crew,1,1.5,");
  await (await openPart(page, "home")).locator("input[type=file]").setInputFiles({ name: "cards.csv", mimeType: "text/csv", buffer: Buffer.from(cards) });
  await reasons.getByText("(now 3.5)").waitFor();
  page.quiet();
  await page.context().close();
});

test("reasons that are told of a better pool than the one shown say so", async () => {
  const file = writePage(path.join(folder, "worse.html"), twelve(path.join(folder, "worse"), ""));
  const [before, data, after] = fs.readFileSync(file, "utf8").split(/(?<=id="pool">)(.*?)(?=<\/script>)/s);
  const written = JSON.parse(data);
  const { fit } = written.best;
  written.best = { ...written.best, status: "stopped", fit: fit - 1, bound: fit }; // as where writing was stopped early
  fs.writeFileSync(file, `${before}${JSON.stringify(written)}${after}`);
  const page = await openPage(browser, file);
  await ready(page);
  assert.match(await page.locator(".sentence").textContent(), /at most 1 \(/);
  await page.locator("#card-box").fill("Card 0");
  await page.locator("#card-box").press("Enter");
  await page.locator(".card-panel").getByText(`What follows is told of a better pool, which was found meanwhile: it has fit ${fit}, the one shown ${fit - 1}.`).waitFor();
  page.quiet();
  await page.context().close();
});
