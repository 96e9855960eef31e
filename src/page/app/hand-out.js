// Files handed to the browser's downloads, and the day that stands in them.

/** Hands a file to the browser's downloads. @param {string} name @param {string | Blob} text @param {string} [type] */
export function handOut(name, text, type = "text/csv") {
  const link = document.createElement("a");
  const url = URL.createObjectURL(typeof text === "string" ? new Blob([text], { type: `${type};charset=utf-8` }) : text);
  link.href = url;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

export function today() {
  const now = new Date();
  const two = (/** @type {number} */ number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
