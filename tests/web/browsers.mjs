// Two real browsers behind one interface.
import { chromium } from "playwright-core";
import puppeteer from "puppeteer-core";

// Debian's Chromium, headless. @param more of its options. open(file, {width, height, dark, locale, bypassCSP, room, prepare, plain}) gives a page, where
// its script runs unless it is plain.
export async function chromium_browser(...more) {
  const browser = await chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: ["--no-sandbox", "--autoplay-policy=no-user-gesture-required", ...more],
  });
  return {
    name: "Chromium",
    close: () => browser.close(),
    async open(file, { width = 1280, height = 900, dark = false, locale = "en-US", bypassCSP = false, room = "", prepare, plain = false } = {}) {
      const context = await browser.newContext({ viewport: { width, height }, colorScheme: dark ? "dark" : "light", locale, bypassCSP });
      const page = await context.newPage();
      const seen = { errors: [], requests: [] };
      page.on("pageerror", (fault) => seen.errors.push(fault.message));
      page.on("console", (line) => line.type() === "error" && seen.errors.push(line.text()));
      page.on("request", (request) => seen.requests.push(request.url()));
      page.on("dialog", (dialog) => seen.errors.push(`a dialog: ${dialog.message()}`));
      if (prepare) await page.addInitScript(prepare);
      await page.goto(`file://${file}${room && `#${room}`}`);
      if (!plain) await page.waitForFunction(() => document.body.dataset.ready, null, { timeout: 30000 });
      return Object.assign(page, { seen, own_context: context, done: () => context.close() });
    },
  };
}

// @param more of its preferences
export async function firefox_browser(more = {}) {
  const browser = await puppeteer.launch({
    browser: "firefox",
    executablePath: "/usr/bin/firefox-esr",
    headless: true,
    extraPrefsFirefox: { "media.autoplay.default": 0, "media.autoplay.blocking_policy": 0, ...more },
  });
  return {
    name: "Firefox",
    close: () => browser.close(),
    async open(file, { width = 1280, height = 900, room = "", prepare } = {}) {
      const page = await browser.newPage();
      // One profile holds all pages: each begins with nothing kept, but not when it is loaded again.
      await page.evaluateOnNewDocument(() => {
        if (location.protocol !== "file:" || sessionStorage.getItem("begun")) return;
        localStorage.clear();
        sessionStorage.setItem("begun", "yes");
      });
      if (prepare) await page.evaluateOnNewDocument(prepare);
      await page.setViewport({ width, height });
      const seen = { errors: [], requests: [] };
      page.on("pageerror", (fault) => seen.errors.push(fault.message));
      await page.goto(`file://${file}${room && `#${room}`}`);
      await page.waitForFunction(() => document.body.dataset.ready, { timeout: 30000 });
      return Object.assign(page, { seen, done: () => page.close() });
    },
  };
}

// Both, or the one that ROMANESCA_BROWSER names: chromium or firefox.
export const browsers = [chromium_browser, firefox_browser].filter((each) => each.name.startsWith(process.env.ROMANESCA_BROWSER ?? ""));

export const wait = (ms) => new Promise((done) => setTimeout(done, ms));
