import { chromium_browser, wait } from "/work/main/tests/web/browsers.mjs";
import { lantern, make_page, start_playing } from "/work/main/tests/web/pages.mjs";
import { writeFileSync } from "node:fs";
const slowed = Number(process.argv[2] ?? 1);
const browser = await chromium_browser();
const packet = make_page("prof-packet", lantern, "--student", "Mira", "--day", "Monday: right hand");
const page = await browser.open(packet, { room: "play" });
const s = await page.own_context.newCDPSession(page);
await s.send("Emulation.setCPUThrottlingRate", { rate: slowed });
await start_playing(page);
await wait(4000);
const bs = await browser_trace(page, 6000);
async function browser_trace(page, ms) {
  const b = await page.context().browser().newBrowserCDPSession();
  const events = [];
  b.on("Tracing.dataCollected", (d) => events.push(...d.value));
  await b.send("Tracing.start", { transferMode: "ReportEvents", traceConfig: { includedCategories: ["toplevel", "devtools.timeline", "blink", "cc", "v8", "disabled-by-default-devtools.timeline"] } });
  await wait(ms);
  const done = new Promise((r) => b.on("Tracing.tracingComplete", r));
  await b.send("Tracing.end");
  await done;
  return events;
}
writeFileSync("/tmp/trace.json", JSON.stringify(bs));
await browser.close();
