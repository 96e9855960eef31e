// What the page holds of the engine, as a way to start it.

/** @returns {import("./store.js").StartEngine | null} null where the page was written without one */
export function enginePieces() {
  return null;
}
