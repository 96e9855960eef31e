// Shared by the tests: where things are, the packages that tests need, the engine outside a browser.
import fs from "node:fs";
import { createRequire } from "node:module";
import path from "node:path";
import { fileURLToPath } from "node:url";

export const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../..");
export const program = process.env.POOLWRIGHT ? path.resolve(process.env.POOLWRIGHT) : path.join(root, "build/poolwright");
export const built = path.join(root, "build/page");
/** Packages lie under build/, where `make test-page` put them. */
export const needed = createRequire(path.join(built, "tests/package.json"));

/** Every file of a folder of the tree goes into the engine's memory, under the same path. */
function putFolder(engine, folder) {
  engine.FS.mkdirTree(`/pool/${folder}`);
  for (const entry of fs.readdirSync(path.join(root, folder), { withFileTypes: true })) {
    const name = `${folder}/${entry.name}`;
    if (entry.isDirectory()) putFolder(engine, name);
    else engine.FS.writeFile(`/pool/${name}`, fs.readFileSync(path.join(root, name)));
  }
}

function call(engine, name, text) {
  const length = engine.lengthBytesUTF8(text) + 1;
  const at = engine._malloc(length);
  engine.stringToUTF8(text, at, length);
  const answer = engine.UTF8ToString(engine[name](at));
  engine._free(at);
  return answer;
}

/** The engine with these folders in its memory. */
export async function startEngine(...folders) {
  const wasm = fs.readFileSync(path.join(built, "engine.wasm"));
  const told = [];
  const start = createRequire(import.meta.url)(path.join(built, "engine.js"));
  const engine = await start({ wasmBinary: wasm, told: (now) => told.push(now) });
  for (const folder of folders) putFolder(engine, folder);
  engine.FS.chdir("/pool");
  return { told, open: (subject) => call(engine, "_engine_open", subject), ask: (line) => call(engine, "_engine_ask", line) };
}
