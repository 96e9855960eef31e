// A folder as one file: a ZIP archive whose files are stored as they are (PKWARE's APPNOTE.TXT 6.3.9, sections 4.3.7, 4.3.12 and 4.3.16).
import { bytesFromBase64 } from "./engine.js";

/** CRC-32 of ISO 3309, as ZIP has it. @param {Uint8Array} bytes */
export function crc32(bytes) {
  let crc = 0xffffffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = crc & 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  }
  return (crc ^ 0xffffffff) >>> 0;
}

/** Numbers of two or four bytes, the low ones first. @param {[number, 2 | 4][]} numbers */
function record(numbers) {
  const bytes = new Uint8Array(numbers.reduce((sum, [, size]) => sum + size, 0));
  const view = new DataView(bytes.buffer);
  let at = 0;
  for (const [number, size] of numbers) {
    if (size === 2) view.setUint16(at, number, true);
    else view.setUint32(at, number, true);
    at += size;
  }
  return bytes;
}

const UTF8_NAMES = 0x0800;
const FIRST_DAY = 0x0021; // 1980-01-01: the same files give the same archive

/** @param {Record<string, string | {base64: string}>} files by their paths @returns {Blob} */
export function zipped(files) {
  /** @type {Uint8Array[]} */
  const parts = [];
  /** @type {Uint8Array[]} */
  const directory = [];
  let offset = 0;
  const paths = Object.keys(files).sort();
  for (const path of paths) {
    const file = files[path];
    const name = new TextEncoder().encode(path);
    const data = typeof file === "string" ? new TextEncoder().encode(file) : bytesFromBase64(file.base64);
    /** @type {[number, 2 | 4][]} version needed, flags, stored, time, date, sum, sizes, length of the name, nothing more */
    const common = [[20, 2], [UTF8_NAMES, 2], [0, 2], [0, 2], [FIRST_DAY, 2], [crc32(data), 4], [data.length, 4], [data.length, 4], [name.length, 2], [0, 2]];
    parts.push(record([[0x04034b50, 4], ...common]), name, data);
    directory.push(record([[0x02014b50, 4], [20, 2], ...common, [0, 2], [0, 2], [0, 2], [0, 4], [offset, 4]]), name);
    offset += 30 + name.length + data.length;
  }
  const size = directory.reduce((sum, part) => sum + part.length, 0);
  const end = record([[0x06054b50, 4], [0, 2], [0, 2], [paths.length, 2], [paths.length, 2], [size, 4], [offset, 4], [0, 2]]);
  return new Blob(/** @type {BlobPart[]} */ ([...parts, ...directory, end]), { type: "application/zip" });
}
