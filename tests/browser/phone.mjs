// A club night on one phone: a matchup by taps alone, headlines at the top of the screen, one thing changed at a tap, the network gone and back.
// usage: node phone.mjs ADDRESS NODE_MODULES PICTURES; the room is closed and opened by whoever reads the output.
import assert from "node:assert/strict";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { createInterface } from "node:readline";
import { join } from "node:path";

const [address, modules, pictures] = process.argv.slice(2);
const require = createRequire(join(modules, "here.js"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
mkdirSync(pictures, { recursive: true });

const orders = createInterface({ input: process.stdin })[Symbol.asyncIterator]();
async function please(what) {
  console.log(`please ${what}`);
  await orders.next();
}

const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-dev-shm-usage"] });
const complaints = [];
const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, deviceScaleFactor: 2 };
// How soon something is seen on a slow line (400 ms to and fro, 50 kB a second): said, and not judged by the clock.
{
  const context = await browser.newContext(phone);
  const page = await context.newPage();
  const devtools = await context.newCDPSession(page);
  await devtools.send("Network.enable");
  await devtools.send("Network.emulateNetworkConditions", { offline: false, latency: 400, downloadThroughput: 50_000, uploadThroughput: 50_000 });
  await page.goto(address);
  await page.waitForLoadState("networkidle");
  const slow = await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0]?.startTime);
  console.log(`on a slow line the first paint comes after ${Math.round(slow ?? 0)} ms`);
  await context.close();
}
const context = await browser.newContext(phone);
const page = await context.newPage();
page.setDefaultTimeout(20000);
page.on("console", (said) => said.type() === "error" && !/WebSocket connection|ERR_INTERNET_DISCONNECTED|Failed to load resource|ERR_CONNECTION/.test(said.text()) && complaints.push(said.text()));
page.on("pageerror", (error) => complaints.push(`${error}`));
// A phone of the middle class: a processor four times slower.
const devtools = await context.newCDPSession(page);
await devtools.send("Emulation.setCPUThrottlingRate", { rate: 4 });

// What is loaded is light.
let bytes = 0;
page.on("response", async (answer) => { bytes += (await answer.body().catch(() => "")).length; });
await page.goto(address);
const paint = await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0]?.startTime);
await page.waitForLoadState("networkidle");
assert.ok(bytes > 0 && bytes < 150_000, `${bytes} bytes`);
console.log(`${bytes} bytes, first paint after ${Math.round(paint ?? 0)} ms with a slowed processor`);

let taps = 0;
async function tap(what) {
  await what.tap();
  taps += 1;
}
const button = (name, within = page) => within.getByRole("button", { name, exact: true });
const picker = page.locator("#picker");
const newest = () => page.locator("#lines .answered").last();

// The headline of the newest answer is on the screen, near the top of the ledger.
async function headline(text) {
  await page.locator("#lines").getByRole("heading", { name: text }).last().waitFor();
  await page.waitForTimeout(150);
  const [head, box] = await page.evaluate(() => [[...document.querySelectorAll("#lines .answered h2")].at(-1), document.querySelector("#ledger")].map((one) => { const { top, bottom } = one.getBoundingClientRect(); return { top, bottom }; }));
  assert.ok(head.top >= box.top - 1 && head.top < box.top + 80, `the headline begins at ${head.top}, the ledger at ${box.top}`);
}

await page.getByLabel("Your name for tonight").fill("Ada");
await page.keyboard.press("Enter");
await page.getByRole("heading", { name: "Canal Guild" }).waitFor();
const { violations: first } = await page.evaluate(axe).then(() => page.evaluate(() => globalThis.axe.run()));
assert.deepEqual(first.map(({ id, nodes }) => `${id}: ${nodes[0].html}`), []);
assert.equal(await page.locator("#examples button").count(), 6);
await page.screenshot({ path: join(pictures, "phone-first.png") });
console.log("the first screen");

// A whole matchup by taps: who, whom, how many, which side, how far, go.
taps = 0;
await tap(button("Ram Barge", picker));
await tap(button("Heron Carriage", picker));
await tap(button("3", picker.getByRole("group", { name: "Attackers" })));
await tap(button("rear", picker));
await tap(button("near", picker));
await page.screenshot({ path: join(pictures, "phone-picker.png") });
await tap(button("Work it out"));
await headline(/Heron Carriage/);
assert.ok(taps <= 6, `${taps} taps`);
await page.getByText("Read as: 3 Ram Barges v Heron Carriage, rear, near").waitFor();
await page.screenshot({ path: join(pictures, "phone-answer.png") });
console.log(`a matchup in ${taps} taps`);

// One thing changed at a tap, from the card itself.
const changes = [
  ["side", /side/],
  ["far", /far/],
  ["reeds", /in reeds/],
  ["one more attackers", /^Read as: 4 Ram Barges/],
  ["moved", /moved/],
];
for (const [name, read] of changes) {
  taps = 0;
  const before = await page.locator("#lines .answered").count();
  await tap(newest().getByRole("group", { name: "Change one thing" }).getByRole("button", { name, exact: true }).first());
  await page.waitForFunction((before) => document.querySelectorAll("#lines .answered").length > before, before);
  assert.equal(taps, 1);
  await headline(/Heron Carriage/);
  assert.match(await newest().locator(".read").innerText(), read);
}
console.log("five things changed, a tap each");

// Each example is answered, with its headline at the top.
const count = await page.locator("#examples button").count();
for (let at = 0; at < count; at += 1) {
  await button("Ask").tap();
  const before = await page.locator("#lines .answered").count();
  await page.locator("#examples button").nth(at).tap();
  await page.waitForFunction((before) => document.querySelectorAll("#lines .answered").length > before, before, { timeout: 60000 });
  await headline(/./);
}
await page.screenshot({ path: join(pictures, "phone-example.png") });
console.log("six examples");

// Steps on asking, without another question.
await page.getByLabel("Next line").fill("steps");
await page.keyboard.press("Enter");
await page.locator("#lines details[open] summary", { hasText: "Steps" }).last().waitFor();

// Units and rules, found as one types.
await button("Units").tap();
await page.getByLabel("Find a unit").last().fill("heron");
await page.getByRole("button", { name: "profile of Heron Carriage" }).tap();
await headline(/Heron Carriage/);
await button("Rules").tap();
await page.getByLabel("Find a rule").fill("lantern");
await page.screenshot({ path: join(pictures, "phone-rules.png") });
await page.locator("#rules .found button").first().tap();
await headline(/./);
console.log("units and rules");

// The network goes and comes back; what is asked meanwhile is kept.
await context.setOffline(true);
await please("close");
await page.getByText("The line to the room is down.").waitFor();
await page.getByLabel("Next line").fill("/check 3d6 10+");
await page.keyboard.press("Enter");
await page.getByText("Kept until the line is back.").waitFor();
// The page itself opens without a network: its parts were kept.
const second = await context.newPage();
await second.goto(address);
await second.getByLabel("Your name for tonight").waitFor();
await second.close();
await please("open");
await context.setOffline(false);
await page.getByText("The room was opened anew").waitFor({ timeout: 40000 });
await headline(/^10\+ on 3d6/);
console.log("offline and back");

for (const scheme of ["light", "dark"]) {
  await page.emulateMedia({ colorScheme: scheme });
  const { violations } = await page.evaluate(axe).then(() => page.evaluate(() => globalThis.axe.run()));
  assert.deepEqual(violations.map(({ id, nodes }) => `${id}: ${nodes[0].html}`), [], scheme);
  const [wide, there] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  assert.ok(wide <= there, `${wide} wide in ${there}`);
}
await button("Ask").tap();
await page.screenshot({ path: join(pictures, "phone-first-dark.png") });
await browser.close();
assert.deepEqual(complaints, []);
console.log("all seen");
process.exit(0);
