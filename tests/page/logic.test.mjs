// What the page works out by itself, without the engine and without a browser, against what the program says of the same files.
// Needs the built program: POOLWRIGHT, else build/poolwright.
import assert from "node:assert/strict";
import { execFileSync, spawnSync } from "node:child_process";
import fs from "node:fs";
import os from "node:os";
import path from "node:path";
import { test } from "node:test";
import { fileURLToPath } from "node:url";
import { askedLines, boundWords, caseAsked, changeOf, nothingAsked, questionOf, withBound, withCap, withCard, withOff, withPart, withRule, withSize, withValues, withWeight } from "../../src/page/app/asked.js";
import { folded, noPoolWord, percent, ranged, signed, tenths } from "../../src/page/app/numbers.js";
import { caseYaml, changesYaml } from "../../src/page/app/changes-text.js";
import { filesUnder } from "../../src/page/app/intake.js";
import { looser, movable, switchOff } from "../../src/page/app/limits.js";
import { sheetsUnder, withOnly, withPath, withSheet } from "../../src/page/app/scenario-text.js";
import { mayBeSheet, notesOf, priceDates, proposedPowers, roleOf } from "../../src/page/app/sources.js";
import { lossOf } from "../../src/page/app/reasons.js";
import { savedData } from "../../src/page/app/save.js";
import { scaleOf, worldOf } from "../../src/page/app/state.js";
import { Store } from "../../src/page/app/store.js";
import { causeOf, newSwaps } from "../../src/page/app/swaps.js";
import { difference, playable, poolOf, swapped, tallyColours, tallyMoney, tallyThemes } from "../../src/page/app/tally.js";
import { presentSheet } from "../../src/page/app/view-home.js";
import { newRule } from "../../src/page/app/view-limits.js";
import { crc32, zipped } from "../../src/page/app/zip.js";
import { changedSheet, journalSheet, readSheet, sheet, unguarded } from "../../src/page/app/sheet-text.js";

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../..");
const program = process.env.POOLWRIGHT ? path.resolve(process.env.POOLWRIGHT) : path.join(root, "build/poolwright");
const run = (...options) => JSON.parse(execFileSync(program, [...options, "--json"], { cwd: root, maxBuffer: 1 << 28, stdio: ["ignore", "pipe", "ignore"] }));

const COLOURS = ["brass", "glass", "linen", "tar"];
/** The themes of the demo's preset (models/four-base.yaml). */
const THEMES = [["soundings", "brass+glass"], ["convoys", "brass+linen"], ["boilers", "brass+tar"], ["letters", "glass+linen"], ["lures", "glass+tar"], ["contraband", "linen+tar"], ["bells", "brass"], ["eels", "tar"], ["squalls", "glass+linen+tar", 0.75], ["freight", "brass+glass+linen+tar", 0.5]]
  .map(([name, colours, weight = 1]) => ({ name, colours, weight }));
const MODEL = { colours: COLOURS, pairs: [], themes: THEMES };

test("halves are rounded up, as the program does", () => {
  assert.deepEqual([2.25, 6.25, 0.04, 1.15, 3].map(tenths), ["2.3", "6.3", "0.0", "1.2", "3.0"]);
  assert.deepEqual([0.0625, 0.5, 0.0001, 0.9999, 0, 1].map(percent), ["6.3%", "50.0%", "<0.1%", ">99.9%", "0.0%", "100.0%"]);
});

test("themes, colours and money are counted as the program counts them", () => {
  const base = run("what-if", "scenarios/small/scenario.yaml", "--sizes", "180").cases[0];
  const best = run("best", "scenarios/small/scenario.yaml");
  const cards = new Map(run("find", "scenarios/small/scenario.yaml").cards.map((card) => [card.name, card]));
  const pool = poolOf(best.pool);
  const themes = tallyThemes(pool, cards, MODEL);
  assert.ok(base.themes.length > 0);
  for (const theme of base.themes) {
    const mine = themes.find((one) => one.name === theme.name);
    assert.deepEqual([mine.name, mine.cards, mine.strength], [theme.name, theme.cards, theme.strength]);
  }
  assert.equal(themes.reduce((least, theme) => (theme.strength < least.strength ? theme : least)).name, base.weakest);
  for (const engine of best.structure.filter((one) => one.kind === "engine")) {
    const mine = themes.find((one) => one.name === engine.of);
    assert.deepEqual([mine.enablers, mine.payoffs], [engine.enablers, engine.payoffs]);
  }
  for (const line of tallyColours(pool, cards, MODEL)) {
    const rule = (name) => best.rules.find((one) => one.name === name && one.of === line.colour);
    assert.equal(line.mono, rule("mono cards").use);
    assert.equal(line.early, rule("early plays").use);
    assert.equal(line.middle, rule("middle plays").use);
    assert.equal(line.late, rule("late plays").use);
  }
  const value = tallyMoney(pool, cards, MODEL).reduce((sum, line) => sum + line.sum, 0);
  assert.equal(value.toFixed(2), best.money.value.toFixed(2));
});

test("who can play a card", () => {
  const can = (colours, deck) => playable({ colours }, deck);
  assert.ok(can("colourless", []) && can("", ["tar"]));
  assert.ok(can("brass/tar", ["tar"]) && !can("brass+tar", ["tar"]));
  assert.ok(can("brass+tar/glass", ["brass", "glass"]) && !can("brass+tar/glass", ["tar", "glass"]));
});

test("all that can be asked, written as a case, is read by the program and holds", () => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "page-"));
  try {
    let asked = withSize(withCap(nothingAsked(), 80.5), 178);
    asked = withCard(withCard(withCard(asked, "Dock Cat", "keep"), "Two Sisters, One Pen", "ban"), "Zoë Marram, Light-Engineer", "wish");
    asked = withValues(withCard(asked, "Bait", "free"), "Bait", { price: 0.05, power: 9 });
    asked = withBound(withBound(asked, "removal", "tar", { at_least: 3 }), "low curve", "", { average_at_most: 3.6 });
    asked = withPart(withPart(asked, "apart", "cheap cargo", { at_most: 3 }), "groups", "the table's jokes", { off: "yes" });
    asked = withPart(asked, "engines", "eels", { bonus: 0.5, ratio: 2, enablers_per_payoff: { from: 0.5, to: 9 } });
    asked = withOff(withWeight(asked, "eels", 1.5), "rousing", true);
    asked = withRule(asked, newRule({ name: "vessels: 30%, \"more\"", each: "", parts: [{ field: "kind", value: "vessel" }, { field: "cost", from: "1", to: "" }], measure: "count", least: "20", most: "" }));
    asked = withRule(asked, newRule({ name: "crews", each: "", parts: [{ field: "kind", value: "crew" }], measure: "count", least: "25", most: "60", percent: true }));
    const written = fs.readFileSync(path.join(root, "scenarios/small/scenario.yaml"), "utf8").replaceAll("../../models", path.join(root, "models")).replaceAll("../demo", path.join(root, "scenarios/demo"));
    fs.writeFileSync(path.join(folder, "scenario.yaml"), `${written.replace(/^cases:[\s\S]*/m, "")}\ncases:\n${caseYaml("as tried", asked)}`);
    const best = run("best", path.join(folder, "scenario.yaml"), "--case", "as tried", "--effort", "200k");
    const pool = poolOf(best.pool);
    const rule = (name, of = "") => best.rules.find((one) => one.name === name && one.of === of);
    assert.equal(best.size, 178);
    assert.equal(rule("spending cap").limit.at_most, 80.5);
    assert.ok(pool.has("Dock Cat") && !pool.has("Two Sisters, One Pen"));
    assert.equal(rule("removal", "tar").limit.at_least, 3);
    assert.equal(rule("low curve").limit.average_at_most, 3.6);
    assert.equal(rule("rousing", "tar"), undefined);
    assert.equal(rule("cheap cargo").limit.at_most, 3);
    assert.equal(rule("the table's jokes"), undefined);
    assert.deepEqual(rule("enablers per payoff (eels)", "eels").limit, { at_least: 0.5, at_most: 9 });
    assert.ok(rule("vessels: 30%, \"more\"").use >= 20);
    assert.deepEqual(rule("crews").limit, { at_least: 25, at_most: 60 });
    assert.ok(best.wishes.some((wish) => wish.name === "Zoë Marram, Light-Engineer"));
    assert.ok(best.pool.some((card) => card.name === "Bait" && card.price === 0.05));
  } finally {
    fs.rmSync(folder, { recursive: true });
  }
});

test("states are never changed in place, and say what they ask", () => {
  const start = nothingAsked();
  const frozen = JSON.stringify(start);
  withCap(withBound(withOff(withCard(start, "A", "ban"), "r", true), "r", "", { at_least: 1 }), null);
  assert.equal(JSON.stringify(start), frozen);
  assert.deepEqual(changeOf(withCap(start, null)), { spending_cap: "none" });
  assert.deepEqual(changeOf(withOff(withBound(start, "r", "tar", { at_least: 1 }), "r", true)), { rules: [{ name: "r", off: "yes" }] });
  const band = { bonus: 1, ratio: 2, enablers_per_payoff: { from: 1 } };
  assert.deepEqual(changeOf(withWeight(withPart(withPart(start, "engines", "eels", band), "choose", "themes", { at_least: 1 }), "eels", 2)), { themes: [{ name: "eels", weight: 2, engine: band }], choose: [{ name: "themes", at_least: 1 }] });
  assert.deepEqual(changeOf(withPart(start, "engines", "eels", { off: "yes" })), { themes: [{ name: "eels", engine: "none" }] });
  assert.equal(boundWords({ at_least: 3, at_most: 4 }, "percent"), "3% to 4%");
  assert.deepEqual(changeOf(withPart(start, "places", "places", { off: "yes" })), { places: "none" });
  assert.deepEqual(questionOf(withCard(start, "A", "free")), { change: {}, case_cards: { A: { keep: "no", ban: "no" } } });
  assert.deepEqual(questionOf(withSize(caseAsked("five forty"), 530)), { case: "five forty", change: { size: 530 } });
  assert.equal(changesYaml(start), "# Nothing was changed.\n");
  assert.match(changesYaml(withCap(start, 12.5)), /^ {2}spending_cap: 12\.50$/m);
  assert.equal(boundWords({ at_least: 3, at_most: 3 }), "exactly 3");
});

/** Notes as the engine reads them. */
function cells(text) {
  const [header, ...rows] = readSheet(text);
  return { path: "notes.csv", header, rows, notes: ["card", "verdict", "date", "note"].map((name) => header.indexOf(name)) };
}

test("what in notes is no note is said, as `feedback` says it; the model may have other words for verdicts", () => {
  const byFolded = new Map([["a", "A"]]);
  const read = (text, words) => notesOf([cells(`card,verdict\n${text}\n`)], byFolded, { headers: {}, words });
  assert.match(read("A,besser").problems[0], /^found 'besser' beside A, expected better, worse, fine, unused or points/);
  assert.match(read("A,1001").problems[0], /^found '1001'/);
  assert.deepEqual(read("B,better").problems, ["no candidate is called 'B'"]);
  const told = read("A,Besser\nA,\nA,-0.5", { besser: "better", starts: "enabler" });
  assert.deepEqual([told.problems, told.notes.get("A").map((note) => note.points)], [[], [-0.5, 0, 0.5]]);
});

test("powers that notes propose are those of the program", () => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "page-"));
  try {
    const notes = 'card,verdict,date,note\nDock Cat,better,2026-03-01,"purrs, mostly"\ndock cat,better,2026-03-08,\nBait,worse,,\nAny-Cargo Ketch,"+0,75",,\nWeather Bore,-9,,too dull\nColumn Leader,fine,,\nBait Lamp,unused,,\n';
    const sheetPath = path.join(folder, "notes.csv");
    fs.writeFileSync(sheetPath, notes);
    const told = run("feedback", "scenarios/demo/scenario.yaml", sheetPath);
    const list = run("find", "scenarios/demo/scenario.yaml").cards;
    const cards = new Map(list.map((card) => [card.name, card]));
    const mine = proposedPowers(notesOf([cells(notes)], new Map(list.map((card) => [folded(card.name), card.name]))).notes, cards, 4.5);
    const theirs = Object.fromEntries(told.cards.filter((card) => card.new_power !== card.power && card.sum !== 0).map((card) => [card.name, { power: card.new_power }]));
    assert.deepEqual(mine, theirs);
    assert.ok(Object.keys(mine).length >= 4);
  } finally {
    fs.rmSync(folder, { recursive: true });
  }
});

test("a search that is given up keeps what the same effort finds, and says that it is not proven; or nothing, and says so", async () => {
  globalThis.window = { setTimeout: () => 1 };
  const card = { name: "A", colours: "", class: "colourless", kind: [], cost: 1, power: 1, price: 1, fit: 1, tags: [] };
  const best = { status: "best", fit: 10, cost: 2, pool: [{ name: "A", copies: 1 }], rules: [], binding: [] };
  const asked = [];
  let found = null;
  const engine = (progress) => ({
    ask: (question) => {
      if (question.ask !== "best" || question.explain) return new Promise(() => {});
      asked.push(question);
      if (question.effort) return Promise.resolve({ ...best, status: "stopped", fit: 9, bound: 11 });
      found = () => progress({ fit: 9, bound: 12, effort: 41_000 });
      return question.change ? new Promise(() => {}) : Promise.resolve(best);
    },
    giveUp: () => {},
    end: () => {},
  });
  const store = new Store({ files: {}, main: "s", model: { colours: [], pairs: [], themes: [] }, cards: { cards: [card] }, best, history: [], marks: {} }, async (files, main, progress) => engine(progress));
  const rest = () => new Promise((done) => setTimeout(done, 5));
  await store.start();
  await rest();
  store.attempt("cap 5", withCap(store.step.asked, 5));
  await rest();
  found();
  store.giveUp();
  await rest();
  assert.deepEqual([asked.at(-1).effort, asked.at(-1).change], [41_000, { spending_cap: 5 }]);
  assert.equal(store.step.answer.fit, 9);
  assert.match(store.stepWords(store.step), /not proven/);
  assert.equal(store.busy, false);
  store.attempt("cap 6", withCap(store.step.asked, 6));
  await rest();
  store.giveUp();
  assert.equal(store.step.label, "cap 5");
  assert.match(store.say, /nothing is kept/);
  delete globalThis.window;
});

test("sheets: what is written is read again, whatever is in the cells", () => {
  const rows = [["plain", "a,b", 'say "so"'], ["two\nlines", " blanks ", ""], ["=1+1", "<script>", "ä;ö"]];
  const read = readSheet(sheet(["x", "y", "z"], rows)).map((row) => row.map(unguarded));
  assert.deepEqual(read, [["x", "y", "z"], ...rows]);
  assert.equal(sheet(["name"], [["=1+1"], ["-2"], ["-2a"], ["@x"]]), "name\n'=1+1\n-2\n'-2a\n'@x\n", "nothing that a spreadsheet program would run");
  assert.equal(sheet(["name", "price"], [["Ä", 1.5]], { separator: ";", decimal_commas: true, marked: true, headers: { name: "Karte" } }), "\uFEFFKarte;price\nÄ;1,5\n");
  assert.deepEqual(readSheet("\uFEFFname;price\r\nA;1,50\r\n"), [["name", "price"], ["A", "1,50"]]);
  assert.deepEqual(readSheet('name\tprice\n"A\tB"\t2'), [["name", "price"], ["A\tB", "2"]]);
});

test("a journal grows by its own columns, and begins with those of the command line", () => {
  const line = { date: "2026-03-01", change: "out", card: "A, the first", copies: 1, price: "1.50", reason: "too slow" };
  assert.equal(journalSheet(null, [line]), 'date,change,card,copies,price,reason\n2026-03-01,out,"A, the first",1,1.50,too slow\n');
  assert.equal(journalSheet("\uFEFFwho;Date;card;change\r\nIda;2026-01-05;B;in\r\n", [line]),
    "\uFEFFwho;Date;card;change;copies;price;reason\nIda;2026-01-05;B;in;;;\n;2026-03-01;A, the first;out;1;1.50;too slow\n");
});

test("sheets with other prices and powers keep their columns, separator and mark", () => {
  const text = "\uFEFFName;mine;Power;price\nA;x;1;2.00\nÉmile;y;3;4.00\n";
  assert.equal(changedSheet(text, { emile: { power: 5, price: 0.5 } }), "\uFEFFName;mine;Power;price\nA;x;1;2.00\nÉmile;y;5;0.50\n");
  assert.equal(changedSheet(text, { A: { power: 1 } }), null);
  const ranges = "name,low,price,high\nA,1.00,2.00,3.50\nB,,4.00,\nC,0.10,€ 0.50,€ 0.60\n";
  assert.equal(changedSheet(ranges, { A: { price: 5 }, B: { price: 1 }, C: { price: 0.2 } }), "name,low,price,high\nA,4.00,5.00,6.50\nB,,1.00,\nC,0.00,0.20,0.30\n");
  assert.equal(changedSheet("card,power\nA,1\n", { A: { power: 2 } }), null);
  assert.equal(changedSheet("Karte;Preis\nA;1,50\n'=B;2,00\n", { A: { price: 1.5 }, "=B": { price: 3 } }, { name: "Karte", price: "Preis" }), "Karte;Preis\nA;1,50\n'=B;3,00\n");
});

test("a sheet is put into a scenario without touching the rest", () => {
  assert.equal(withSheet("# mine\ncards: [a.csv] # all\n", "cards", "b.csv"), '# mine\ncards: [a.csv, "b.csv"] # all\n'.replaceAll('"b.csv"', "b.csv"));
  assert.equal(withSheet("cards: [a.csv]\n", "prices", "it's: new.csv"), 'cards: [a.csv]\nprices: ["it\'s: new.csv"]\n');
  assert.equal(withSheet("prices:\n  - a.csv # old\ncards: [x.csv]\n", "prices", "b.csv"), "prices:\n  - a.csv # old\n  - b.csv\ncards: [x.csv]\n");
  assert.equal(withSheet("prices:\n- a.csv\n- c.csv", "prices", "b.csv"), "prices:\n- a.csv\n- c.csv\n- b.csv\n");
  assert.equal(withSheet("prices: []\n", "prices", "b.csv"), "prices: [b.csv]\n");
  assert.equal(withSheet("prices: a.csv # one\n", "prices", "b.csv"), "prices: [a.csv, b.csv] # one\n");
  assert.equal(withSheet("prices: [a.csv, # one, two\n  c.csv]\n", "prices", "b.csv"), "prices: [a.csv, # one, two\n  c.csv, b.csv]\n");
  const listed = "# prices: [no.csv]\nprices:\n  # prices of the spring\n  - 'it''s.csv'\n  - \"b x.csv\" # b\n  - c.xlsx#Prices\nowned: [o.csv]\n";
  assert.deepEqual(sheetsUnder(listed, "prices").map((item) => item.path), ["it's.csv", "b x.csv", "c.xlsx#Prices"]);
  assert.equal(withPath(listed, "prices", "b x.csv", null), listed.replace("  - \"b x.csv\" # b\n", ""));
  assert.equal(withPath(listed, "prices", "c.xlsx#Prices", "c older.csv"), listed.replace("c.xlsx#Prices", "c older.csv"));
  assert.equal(withPath("prices: [a.csv, b.csv]\n", "prices", "a.csv", null), "prices: [b.csv]\n");
  assert.equal(withPath("prices: [a.csv, b.csv]\n", "prices", "b.csv", null), "prices: [a.csv]\n");
  assert.equal(withPath("prices: [a.csv]\n", "prices", "a.csv", null), "prices: []\n");
  assert.deepEqual(["card,verdict", "name,price", "name,colours,price", "name,tag,status", "name,copies", "rule,all", "date,change,card", "what,else"].map((header) => roleOf({ header: header.split(","), rows: [], ...(header.includes("verdict") ? { notes: [0, 1, -1, -1] } : {}) })), ["notes", "prices", "cards", "tags", "owned", "targets", "journal", ""]);
  assert.equal(withOnly("cards: [a.csv]\npool: old.csv # slips\n", "pool", "our pool.csv"), "cards: [a.csv]\npool: our pool.csv # slips\n");
  assert.equal(withOnly("cards: [a.csv]\n", "journal", "j.csv"), "cards: [a.csv]\njournal: j.csv\n");
  assert.equal(roleOf({ header: ["Karte", "Preis"], rows: [] }, { name: "Karte", price: "Preis" }), "prices");
});

test("a folder that is dropped is its files, with their paths; what may be a sheet is known by its name", async () => {
  const entry = (fullPath, inside) => ({
    fullPath, isFile: !inside, file: (done) => done(fullPath),
    createReader: () => {
      const pieces = [inside.slice(0, 1), inside.slice(1), []]; // as browsers do: not all at once
      return { readEntries: (done) => done(pieces.shift()) };
    },
  });
  const river = entry("/river", [entry("/river/cards.csv"), entry("/river/more", [entry("/river/more/a.ods")]), entry("/river/scenario.yaml")]);
  assert.deepEqual(await filesUnder(river), ["river/cards.csv", "river/more/a.ods", "river/scenario.yaml"].map((name) => ({ name, file: `/${name}` })));
  assert.deepEqual(["a/b.csv", "list.XLSX", "list.ods", "prices", "a.b/prices"].map(mayBeSheet), [true, true, true, true, true]);
  assert.deepEqual(["a.png", "scenario.yaml", "README.md", ".hidden", "a/.lock"].map(mayBeSheet), [false, false, false, false, false]);
});

test("a folder as one file is one that another program unpacks", async (t) => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), "page-"));
  const files = { "scenarios/mine/cards.csv": "name\nZoë\n", "scenarios/mine/b.xlsx": { base64: Buffer.from([0, 255, 80, 75]).toString("base64") }, "models/a.yaml": "" };
  try {
    assert.equal(crc32(Buffer.from("123456789")), 0xcbf43926); // the check value of CRC-32/ISO-HDLC
    fs.writeFileSync(path.join(folder, "all.zip"), Buffer.from(await zipped(files).arrayBuffer()));
    const told = spawnSync("python3", ["-m", "zipfile", "-e", "all.zip", "out"], { cwd: folder, encoding: "utf8" });
    if (told.error) return t.skip("no python3");
    assert.equal(told.status, 0, told.stderr);
    const read = (name) => fs.readFileSync(path.join(folder, "out", name));
    assert.equal(read("scenarios/mine/cards.csv").toString(), "name\nZoë\n");
    assert.deepEqual([...read("scenarios/mine/b.xlsx")], [0, 255, 80, 75]);
    assert.equal(read("models/a.yaml").length, 0);
  } finally {
    fs.rmSync(folder, { recursive: true });
  }
});

test("names that every object has are names like any other", () => {
  const names = ["constructor", "__proto__", "toString"];
  const card = (name, at) => ({ name, colours: names[at], class: "mono", kind: [names[at]], cost: 1, power: 1, price: 1, fit: 1, tags: [{ tag: names[at], role: "enabler" }] });
  const cards = new Map(names.map((name, at) => [name, card(name, at)]));
  const model = { colours: names, pairs: [], themes: names.map((name) => ({ name, colours: "", weight: 1 })) };
  const pool = poolOf([...cards.values()]);
  assert.deepEqual(tallyThemes(pool, cards, model).map((theme) => [theme.strength, theme.byColour[theme.name]]), names.map(() => [1, 1]));
  assert.deepEqual(tallyColours(pool, cards, model).map((line) => line.kinds[line.colour]), [1, 1, 1]);
  let asked = nothingAsked();
  for (const name of names) asked = withWeight(withBound(withValues(withCard(asked, name, "ban"), name, { price: 2 }), name, name, { at_least: 1 }), name, 2);
  const change = changeOf(asked);
  assert.deepEqual([change.ban, change.themes.map((one) => one.weight), change.rules.map((rule) => Object.keys(rule.for)[0])], [names, [2, 2, 2], names]);
  assert.deepEqual(Object.keys(questionOf(asked).case_cards), names);
  assert.deepEqual(changeOf(withCard(asked, "__proto__", null)).ban, ["constructor", "toString"]);
});

test("what moved between two pools, and which card stands for which", () => {
  const card = (name, colours, tag) => [name, { name, colours, class: "mono", kind: [], cost: 2, tags: [{ tag, role: "enabler" }] }];
  const cards = new Map([card("a", "tar", "eels"), card("b", "brass", "bells"), card("x", "brass", "bells"), card("y", "tar", "eels")]);
  const moved = difference(new Map([["a", 1], ["b", 2], ["c", 1]]), new Map([["c", 1], ["x", 1], ["y", 1]]));
  assert.deepEqual(moved, { enters: [{ name: "x", copies: 1 }, { name: "y", copies: 1 }], leaves: [{ name: "a", copies: 1 }, { name: "b", copies: 2 }] });
  assert.deepEqual(swapped(moved.enters, moved.leaves, cards), [{ enter: "x", leave: "b" }, { enter: "y", leave: "a" }, { enter: null, leave: "b" }]);
});

/** A store of four cards, worth as much as their numbers say. */
function fourCards(more = {}) {
  const cards = [1, 2, 3, 4].map((fit) => ({ name: `Card ${fit}`, colours: "", class: "colourless", kind: [], cost: 1, power: fit, price: 1, fit, tags: [] }));
  const best = { status: "best", fit: 5, cost: 2, pool: [{ name: "Card 1", copies: 1 }, { name: "Card 4", copies: 1 }], rules: [], binding: [] };
  return new Store({ files: {}, main: "s", model: { colours: [], pairs: [], themes: [], present: true }, cards: { cards }, best, history: [], marks: {}, ...more }, null);
}
const copies = (...names) => names.map((name) => ({ name: `Card ${name}`, copies: 1 }));

test("places are switched off all at once, and the step says so", () => {
  const store = fourCards();
  switchOff(store, { kind: "places", name: "places (brass)", of: "brass", limit: {}, asks: "12 filled", slack: 0, tight: true });
  assert.equal(store.step.label, "without places");
  assert.deepEqual(askedLines(store.step.asked), [store.step.label]);
});

test("few swaps: what each brings stands there where it is a copy for a copy, and of those that mend only what all of them bring", () => {
  const told = (revise) => newSwaps(fourCards({ revise }));
  const one = (enters, leaves) => ({ gain: 1, spent: 1, enters, leaves });
  const pairs = (list) => list.map(({ enter, leave, gain }) => [enter, leave, gain].join());
  assert.deepEqual(pairs(told({ least_swaps: 0, one_by_one: [one(copies(3), copies(1)), one(copies(2, 4), copies(3)), one(copies(1), copies(2))] }).swaps), ["Card 3,Card 1,1"]);
  assert.match(told({ least_swaps: 0, one_by_one: [one(copies(2, 4), copies(3))] }).words, /copy for copy/);
  const two = [one(copies(3), copies(1)), one(copies(4), copies(2))];
  assert.equal(told({ least_swaps: 0, one_by_one: two }).words, "One after the other, the best first; each brings so much behind those before it:");
  assert.equal(told({ least_swaps: 0, one_by_one: [], one_by_one_ends: "proven" }).words, "No single swap makes the pool better.");
  assert.match(told({ least_swaps: 0, one_by_one: [], one_by_one_ends: "open" }).words, /is not known/);
  const mended = (point, least = 1) => told({ least_swaps: least, least_swaps_exact: true, points: [{ swaps: least, status: "best", fit: 7, spent: 2, ...point }] });
  assert.deepEqual(pairs(mended({ enters: copies(3), leaves: copies(1) }).swaps), ["Card 3,Card 1,"]);
  assert.match(mended({ enters: copies(3), leaves: copies(1) }).words, /it takes 1 swap to meet them all\. With this one it has fit 7, the most with at most 1 swap, and 2\.00 is to pay:$/);
  assert.doesNotMatch(mended({ status: "stopped", enters: copies(3), leaves: copies(1) }).words, /the most/);
  assert.deepEqual(mended({ enters: copies(3), leaves: copies(1, 2) }, 2).swaps, [], "a copy leaves for nothing");
  assert.match(mended({ enters: copies(3), leaves: copies(1, 2) }, 2).words, /it takes 2 swaps to meet them all \(see Changes\)\.$/);
});

test("a swap that is put aside takes those behind it along, and others are looked for without its card", () => {
  const one = (enters, leaves) => ({ gain: 1, spent: 1, enters, leaves });
  const store = fourCards({ revise: { least_swaps: 0, one_by_one: [one(copies(3), copies(1)), one(copies(4), copies(2))], from: copies(1, 2) } });
  const shown = () => newSwaps(store).swaps.map((swap) => swap.enter);
  const asked = [];
  store.pools.engine = store.reasons.engine = { ask: (question) => new Promise(() => asked.push(question)), giveUp: () => {}, end: () => {} };
  assert.deepEqual(shown(), ["Card 3", "Card 4"]);
  store.mark("Card 4 for Card 2", { mark: "taken", swap: { enter: "Card 4", leave: "Card 2" } });
  assert.deepEqual([shown(), asked.length], [["Card 3"], 0]);
  store.mark("Card 4 for Card 2", null);
  store.mark("Card 3 for Card 1", { mark: "later", swap: { enter: "Card 3", leave: "Card 1" } });
  assert.deepEqual(shown(), []);
  assert.match(newSwaps(store).words, /is being found/);
  assert.deepEqual(asked, [{ ask: "revise", swaps: 5, from: copies(1, 2), change: { ban: ["Card 3"] } }]);
});

test("a card without a price was there before all the same", () => {
  const prices = { "Card 1": 1, "Card 2": null, "Card 3": 2 };
  const store = fourCards({ last: { pool: [], date: "", prices } });
  const cause = (enter) => causeOf({ enter: `Card ${enter}`, leave: "Card 1" }, store);
  assert.equal(cause(4), "Card 4 is new; power +3");
  assert.equal(cause(3), "Card 3 went from 2.00 to 1.00; power +2");
  store.opened.cards.get("Card 2").price = null;
  assert.equal(cause(2), "power +1");
  assert.deepEqual(savedData(store).last.prices, { "Card 1": 1, "Card 2": null, "Card 3": 1, "Card 4": 1 });
});

test("the present pool with the swaps taken is the pool that these swaps are of", () => {
  const taken = (enter, leave) => ({ mark: "taken", swap: { enter: `Card ${enter}`, leave: `Card ${leave}` } });
  const store = fourCards({ marks: { a: taken(3, 1), b: taken(4, 2) } });
  for (const [name, card] of store.cards) card.present = ["Card 1", "Card 2"].includes(name) ? 1 : 0;
  const names = () => readSheet(presentSheet(store)).slice(1).map((row) => row.join(" ")).join();
  assert.equal(names(), "Card 3 1,Card 4 1");
  store.revision = { from: copies(1) }; // after new sheets: of the pool that was shown, which has no Card 2
  assert.equal(names(), "Card 3 1");
});

test("a state that is kept as a case has its own answer, whatever is shown: none where nothing fits, and none after new sheets", () => {
  const store = fourCards();
  store.steps = [...store.steps, { label: "cap 0", asked: withCap(nothingAsked(), 0), answer: { status: "infeasible" }, reasons: null }];
  store.at = 1;
  assert.equal(store.shown, 0);
  store.keepAsCase("no money");
  assert.deepEqual(store.kept[0].answer, { status: "infeasible" });
  store.adopt({ end: () => {} }, { files: {}, main: "s", model: store.data.model, cards: store.data.cards, best: store.data.best });
  assert.deepEqual(store.kept, [{ name: "no money", asked: withCap(nothingAsked(), 0) }]);
  store.answered({ asked: store.kept[0].asked }, { status: "infeasible" });
  assert.deepEqual(store.kept[0].answer, { status: "infeasible" }, "gone to, it is solved");
});

test("where another pool is named, the fewest changes for its fit are asked for, also of one swap: there may be none", async () => {
  globalThis.window = { setTimeout: () => 1 };
  const store = fourCards();
  store.pools.engine = { ask: async (question) => ({ status: "best", fit: 5, cost: 1, pool: copies(2, 3), ...(question.from ? { nearest: { enters: [], leaves: [], changes: 0, fewest: "proven" } } : {}) }), giveUp: () => {}, end: () => {} };
  store.data.best.pool = copies(2, 4);
  await store.attempt("cap 5", withCap(nothingAsked(), 5));
  await new Promise((done) => setTimeout(done, 5));
  assert.match(store.stepWords(store.step), /\(±0\), 0 cards in, 0 out/);
  delete globalThis.window;
});

test("fit is counted in another way where cards have another fit or structure adds another, not wherever a case is gone to", () => {
  const store = fourCards();
  const [cheap, strong] = ["cheap", "strong"].map(caseAsked);
  assert.equal(store.sameFits(nothingAsked(), cheap), undefined, "not asked yet");
  store.worlds.set(scaleOf(cheap), worldOf(store.model, [...store.cards.values()].map((card) => ({ ...card, price: 0.5 }))));
  store.worlds.set(scaleOf(strong), worldOf(store.model, [...store.cards.values()].map((card) => ({ ...card, fit: 2 * card.fit }))));
  assert.equal(store.sameFits(nothingAsked(), withCap(cheap, 3)), true);
  assert.equal(store.sameFits(cheap, strong), false);
  const [twice, off] = [withWeight(nothingAsked(), "eels", 2), withPart(nothingAsked(), "choose", "themes", { off: "yes" })];
  assert.equal(store.sameFits(nothingAsked(), off), undefined, "not asked yet");
  store.worlds.set(scaleOf(twice), worldOf({ ...store.model, forms: [{ name: "depth (eels)", steps: [{ width: 2, value: 2 }] }] }, [...store.cards.values()]));
  assert.equal(store.sameFits(nothingAsked(), twice), false);
  assert.equal(store.sameFits(nothingAsked(), withPart(nothingAsked(), "apart", "both", { at_most: 2 })), true, "a limit");
});

test("what hangs on cards: the least first, then what is known from below, then what is not known", () => {
  const cards = [{ loss: {} }, { loss: { at_least: 0.5 } }, {}, { loss: { at_least: 2, at_most: 3 } }, { loss: { at_most: 1 } }];
  assert.deepEqual([...cards].sort((a, b) => lossOf(a) - lossOf(b)).map((card) => cards.indexOf(card)), [4, 3, 1, 0, 2]);
});

test("numbers and dates in words", () => {
  assert.equal(signed(-0.25), "−0.25");
  assert.equal(signed(0), "±0");
  assert.equal(ranged({ at_least: 1.7, at_most: 2.35 }), "1.7 to 2.35");
  assert.equal(priceDates([{ price: 1, price_date: "2026-03-31" }, { price: 2, price_date: "2026-02-01" }, { price: 1 }]), "Prices from 2026-02-01 to 2026-03-31; 1 without a date.");
  assert.equal(priceDates([{ price: 1 }]), "The prices carry no dates.");
  assert.equal(priceDates([]), "", "nothing is to be bought");
  assert.deepEqual(["infeasible", "stopped", undefined].map((status) => noPoolWord({ status })), ["no pool", "not known", "not solved yet"]);
});

test("a bound that is told as a chance is moved as the number that it comes to", () => {
  const rule = { kind: "rule", name: "payoffs", of: "tide", limit: { at_least: 14, seen: { by: "opens", at_least: 3, chance: 80 } } };
  assert.deepEqual(movable(rule), ["at_least"]);
  assert.deepEqual(looser(rule), { at_least: 13 });
});
