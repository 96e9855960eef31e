// What the page holds of the engine, as ways to start it.
import { bytesFromBase64, startEngine, startImporter } from "./engine.js";

/** The two texts; null where the page was written without them. */
function pieces() {
  const wasm = document.getElementById("engine-wasm")?.textContent;
  const glue = document.getElementById("engine-glue")?.textContent;
  return wasm && glue ? { wasm, glue: new TextDecoder().decode(bytesFromBase64(glue)) } : null;
}

/** @returns {import("./state.js").StartEngine | null} null where the page was written without one */
export function enginePieces() {
  const held = pieces();
  return held && ((files, main, progress) => startEngine({ ...held, files, main, progress }));
}

/** @param {import("./types.js").PageData["files"]} files @returns {Promise<import("./types.js").Importer>} */
export function importerOf(files) {
  const held = pieces();
  return held ? startImporter({ ...held, files }) : Promise.reject(new Error("this page was written without the optimiser"));
}
