// What the page holds of the engine, as a way to start it.
import { bytesFromBase64, startEngine } from "./engine.js";

/** @returns {import("./store.js").StartEngine | null} null where the page was written without one */
export function enginePieces() {
  const wasm = document.getElementById("engine-wasm")?.textContent;
  const glue = document.getElementById("engine-glue")?.textContent;
  if (!wasm || !glue) return null;
  const script = new TextDecoder().decode(bytesFromBase64(glue));
  const fit = (/** @type {number | null | undefined} */ thousandths) => (typeof thousandths === "number" ? thousandths / 1000 : null);
  return (files, main, progress) => startEngine({ wasm, glue: script, files, main, progress: (now) => progress({ ...now, fit: fit(now.fit), bound: fit(now.bound) }) });
}
