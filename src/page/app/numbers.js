// Numbers, lists, places in files and problems as the screens write them.

/** Money with two decimals. @param {number | null | undefined} sum */
export function money(sum) {
  return sum === null || sum === undefined ? "none" : sum.toFixed(2);
}

/** Fit and other numbers: up to three decimals, none that say nothing. @param {number | null | undefined} value */
export function plain(value) {
  return value === null || value === undefined ? "" : String(Math.round(value * 1000) / 1000);
}

/** A difference with its sign; a true minus. @param {number} value @param {(value: number) => string} [write] */
export function signed(value, write = plain) {
  const text = write(Math.abs(value));
  if (Number(text) === 0) return "±0";
  return (value > 0 ? "+" : "−") + text;
}

/** A mean to a tenth, halves up, as `seats` writes it. @param {number} value */
export function tenths(value) {
  return (Math.floor(value * 10 + 0.5) / 10).toFixed(1);
}

/** "83.1%"; what is neither sure nor impossible is not shown as such. @param {number} chance */
export function percent(chance) {
  if (chance > 0 && chance < 0.0005) return "<0.1%";
  if (chance < 1 && chance >= 0.9995) return ">99.9%";
  return `${tenths(chance * 100)}%`;
}

/** "1 card", "3 cards". @param {number} number @param {string} one @param {string} [many] */
export function count(number, one, many = one + "s") {
  return `${number} ${number === 1 ? one : many}`;
}

/** A proven range: "1.7", "1.7 to 2.35", "at least 3". @param {{at_least?: number, at_most?: number} | undefined} range */
export function ranged(range, write = plain) {
  if (!range || (range.at_least === undefined && range.at_most === undefined)) return "not settled how much";
  const { at_least: low, at_most: high } = range;
  if (low === undefined) return `at most ${write(/** @type {number} */ (high))}`;
  if (high === undefined) return `at least ${write(low)}`;
  return low === high ? write(low) : `${write(low)} to ${write(high)}`;
}

/** Where answers say that something stands which was asked on the page itself. */
const HERE = "asked here";

/** "model.yaml:14"; "" where no file is to blame. @param {{file?: string, line?: number}} said */
export function placeOf({ file, line }) {
  if (file === "question") return HERE;
  return file ? `${file}${line ? `:${line}` : ""}` : "";
}

/** A sentence of the engine's, with such places. @param {string} text */
export function withPlaces(text) {
  return text.replaceAll(/\(question:\d+\)/g, `(${HERE})`);
}

/** What is wrong, with the place in the files where it stands. @param {{message: string, file?: string, line?: number}[]} problems */
export function problemWords(problems) {
  return problems.map((one) => (one.file && one.file !== "question" ? `${placeOf(one)}: ${one.message}` : one.message)).join("; ");
}

/** A path without its folders. @param {string} path */
export function lastPart(path) {
  return path.slice(path.lastIndexOf("/") + 1);
}

/** Where there is no pool: only what is proven to be infeasible does not fit. @param {{status?: string}} answer */
export function noPoolWord(answer) {
  if (answer.status === undefined) return "not solved yet";
  return answer.status === "infeasible" ? "no pool" : "not known";
}

/** "a, b and c". @param {string[]} words */
export function listed(words) {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} and ${words[words.length - 1]}`;
}

/** A name for comparing: case, accents and outer blanks do not matter. @param {string} name */
export function folded(name) {
  return name.normalize("NFKD").replace(/\p{M}/gu, "").trim().toLowerCase();
}

/** What a record says under a key of the user's; "constructor" is a name like any other. @template T @param {Record<string, T> | undefined} record @param {string} key @returns {T | undefined} */
export function own(record, key) {
  return record && Object.hasOwn(record, key) ? record[key] : undefined;
}

/** @param {string} a @param {string} b */
export function byName(a, b) {
  const [x, y] = [folded(a), folded(b)];
  return x < y ? -1 : x > y ? 1 : 0;
}
