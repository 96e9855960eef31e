// The engine of the page against the program: the same questions, the same bytes, on a 64-bit processor and in 32-bit WebAssembly.
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import fs from "node:fs";
import path from "node:path";
import { test } from "node:test";
import { built, program, root, startEngine } from "./support.mjs";

const best = (change, more) => ({ ask: "best", change, ...more });
const caps = (list) => list.map((cap) => best({ spending_cap: cap }));

const FOLDERS = ["scenarios", "models", "tests/data/workbooks", "build/page/tests/books"];

/** What is asked of which scenario. */
const ASKED = {
  "scenarios/demo": [
    { ask: "model" }, { ask: "cards" }, { ask: "words" }, { ask: "best" },
    ...caps([200, 250, 290, 310, 350, 420, "none"]),
    best({ spending_cap: 280, keep: ["Weather Bore"] }, { from: "base" }),
    best({ ban: ["Mail Dinghy"] }, { from: "base" }),
    best({ ban: ["Weather Bore", "Dock Cat"], size: 450 }),
    best({ rules: { removal: { at_least: 10 } } }),
    best({ rules: { removal: { off: true } } }),
    best({ themes: { convoys: { weight: 2 } } }),
    best({ rules: [{ name: "cheap crew", where: { kind: "crew", price: { to: 0.5 } }, at_least: 40 }] }),
    best({ spending_cap: 5 }),
    best({}, { case_cards: { "Harbour Pilot": { keep: true, price: 4.5 } }, gap: 0 }),
    best({ wish: ["Weather Bore"] }, { effort: 3000 }),
    { ask: "count", rule: { each: "pair", where: { class: "gold" } } },
    { ask: "count", rule: { where: { text: "/dr(a|e)w/" }, each: "colour" } },
    { ask: "why", cards: ["Weather Bore"], effort: 20000 },
    { ask: "seats" }, { ask: "seats", from: "base", change: { ban: ["Mail Dinghy"] }, seats: 5, package: "8+4" }, { ask: "seats", seats: 9 },
    { ask: "best", case: "nonesuch" },
  ],
  "scenarios/small/scenario.yaml": [
    { ask: "best", explain: true, effort: 20000 }, best({ keep: ["Weather Bore"] }, { explain: true, effort: 5000 }),
    { ask: "why", cards: ["Weather Bore", "Dock Cat"], effort: 20000 }, { ask: "swap", cards: ["Weather Bore"], effort: 20000 },
    ...caps([40, 50, 60, 75, 90]), best({ spending: 1 }), best({ spending_cap: 70 }, { files: true }),
    { ask: "model", change: { themes: [{ name: "eels", engine: { bonus: 1, enablers_per_payoff: [0.5, 9] } }], choose: { from: ["eels", "bells"], exactly: 1 } } },
    best({ themes: [{ name: "eels", engine: { bonus: 1, enablers_per_payoff: [0.5, 9] } }], choose: [{ name: "one of two", from: ["eels", "bells"], at_least: 1 }] }),
    { ask: "what-if", sizes: "160,180" }, { ask: "caps", caps: "60..70/10" },
    { ask: "revise", from: "base", swaps: 3, change: { ban: ["Dock Cat"] } },
    { ask: "count", rule: { where: { kind: "crew" }, each: "theme" } },
    best({ rules: { removl: { at_least: 1 } } }), best({ ban: ["Dock Cta"] }), { ask: "bset" }, { ask: "best", change: [] },
  ],
  "scenarios/reprints": [{ ask: "model" }, { ask: "cards" }, { ask: "best" }],
  "tests/data/workbooks": [{ ask: "model" }, { ask: "cards" }, { ask: "best" }, { ask: "best", files: true }],
  "build/page/tests/books/xlsx.yaml": [{ ask: "cards" }, { ask: "best" }],
  "build/page/tests/books/ods.yaml": [{ ask: "cards" }, { ask: "best" }],
  "scenarios/nonesuch": [], // one that is not there, one whose sheet is not, one whose sheet is a folder
  "build/page/tests/books/lost.yaml": [],
  "build/page/tests/books/folder.yaml": [],
};

const books = path.join(built, "tests/books");
fs.mkdirSync(books, { recursive: true });
/** Scenarios of the same sheets as workbooks. */
for (const ending of ["xlsx", "ods"]) {
  const book = (sheet) => `[../../../../tests/data/workbooks/from-csv/${sheet}.${ending}]`;
  const sheets = ["cards", "prices", "owned", "tags", "targets"].map((sheet) => `${sheet}: ${book(sheet)}\n`);
  fs.writeFileSync(path.join(books, `${ending}.yaml`), `model: ../../../../tests/data/workbooks/model.yaml\n${sheets.join("")}`);
}
fs.writeFileSync(path.join(books, "lost.yaml"), "model: four-180\ncards: lost.csv\n");
fs.writeFileSync(path.join(books, "folder.yaml"), "model: four-180\ncards: ../books\n");

let asked = 0;
for (const [subject, questions] of Object.entries(ASKED)) {
  test(`${subject}: ${questions.length} questions, the same bytes`, async (t) => {
    const lines = questions.map((question, id) => JSON.stringify({ id, ...question }));
    let time = performance.now();
    const native = spawnSync(program, ["ask", subject, "--threads", "2"], { cwd: root, input: lines.join("\n") + "\n", maxBuffer: 1 << 28, encoding: "utf8" });
    const nativeTime = performance.now() - time;
    const answers = native.stdout.split("\n").slice(0, -1);
    const engine = await startEngine(...FOLDERS);
    time = performance.now();
    const opened = engine.open(subject);
    if (native.status === 2) return assert.equal(opened, answers[0]);
    assert.equal(native.status, 0, native.stderr);
    assert.equal(opened, "{}");
    assert.equal(answers.length, lines.length);
    lines.forEach((line, at) => assert.ok(engine.ask(line) === answers[at], `answers differ: ${line}`));
    t.diagnostic(`native ${Math.round(nativeTime)} ms, WebAssembly ${Math.round(performance.now() - time)} ms`);
    asked += lines.length;
  });
}

test("that were fifty questions at least", () => assert.ok(asked >= 50, `${asked} questions`));

test("progress is told while a question is answered", async () => {
  const engine = await startEngine(...FOLDERS);
  assert.equal(engine.open("scenarios/small/scenario.yaml"), "{}");
  const { fit } = JSON.parse(engine.ask('{"ask":"best","change":{"spending_cap":70},"explain":true,"effort":20000}'));
  assert.ok(engine.told.some((now) => now.fit > 0 && now.bound >= now.fit), "a pool and what is possible");
  assert.ok(engine.told.some((now) => typeof now.what === "string" && now.done <= now.of), "what explanations look at");
  assert.ok(fit);
});

test("an answer does not depend on earlier questions, nor on what was open before", async () => {
  const engine = await startEngine(...FOLDERS);
  const line = '{"ask":"best","change":{"ban":["Dock Cat"]}}';
  assert.match(engine.ask(line), /no scenario is open/);
  engine.open("scenarios/demo");
  engine.open("scenarios/small/scenario.yaml");
  const first = JSON.parse(engine.ask(line));
  engine.ask('{"ask":"best","change":{"spending_cap":50,"keep":["Dock Cat"]}}');
  const second = JSON.parse(engine.ask(line));
  delete first.statistics;
  delete second.statistics;
  assert.deepEqual(second, first);
});

test("after a change the demo is solved again at once, and proven", async (t) => {
  const engine = await startEngine(...FOLDERS);
  engine.open("scenarios/demo");
  const pool = JSON.parse(engine.ask('{"ask":"best"}')).pool.map((card) => card.name);
  const out = JSON.parse(engine.ask('{"ask":"cards"}')).cards.map((card) => card.name).filter((name) => !pool.includes(name));
  const changes = [];
  for (let k = 0; k < 8; k++) changes.push({ spending_cap: 210 + 25 * k }, { keep: [out[(k * 131) % out.length]] }, { ban: [pool[(k * 43) % pool.length]] }, { rules: { removal: { for: { tar: { at_least: 5 + (k % 4) } } } } });
  const times = changes.map((change) => {
    const begun = process.cpuUsage().user;
    assert.equal(JSON.parse(engine.ask(JSON.stringify(best(change)))).status, "best", JSON.stringify(change));
    return (process.cpuUsage().user - begun) / 1e6;
  }).sort((a, b) => a - b);
  const [median, nine] = [times[times.length >> 1], times[Math.floor(times.length * 0.9)]];
  t.diagnostic(`${changes.length} changes: ${median.toFixed(2)} s at the median, ${nine.toFixed(2)} s at nine of ten`);
  assert.ok(median < 0.9 && nine < 3, "three times what a page on a quiet machine needs at most");
});
