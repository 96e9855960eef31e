// Chromium of Debian, headless, without a network; pages are opened as files, as a double click does.
import path from "node:path";
import { pathToFileURL } from "node:url";
import { needed } from "./support.mjs";

const { chromium } = needed("playwright-core");
const FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"];

export const startBrowser = () => chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: FLAGS });

/**
 * Opens a file, and collects what must not be: requests that are neither the file nor of the page's own making, errors, warnings of the policy.
 * @param {any} browser @param {string} file @param {object} [options] of the context: viewport, colorScheme ...
 */
export async function openPage(browser, file, options = {}) {
  const context = await browser.newContext({ acceptDownloads: true, viewport: { width: 1400, height: 900 }, ...options });
  const page = await context.newPage();
  const address = pathToFileURL(path.resolve(file)).href;
  const wrong = [];
  context.on("request", (request) => {
    const url = request.url();
    if (url.split("#")[0] !== address && !/^(blob|data):/.test(url)) wrong.push(`request: ${url}`);
  });
  page.on("console", (message) => ["error", "warning"].includes(message.type()) && wrong.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => wrong.push(`error: ${error.message}`));
  page.setDefaultTimeout(60000);
  await page.goto(address);
  return { page, wrong, close: () => context.close() };
}
