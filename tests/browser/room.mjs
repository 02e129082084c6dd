// The club room in a real browser: two people, one of them on a phone, one who uses keys only.
// usage: node room.mjs ADDRESS NODE_MODULES PICTURES CLOSED; CLOSED is a room behind a pass phrase; the other is closed and opened by whoever reads the output.
import assert from "node:assert/strict";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { createInterface } from "node:readline";
import { join } from "node:path";

const [address, modules, pictures, closed] = process.argv.slice(2);
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

async function sitDown(name, settings = {}) {
  const context = await browser.newContext({ viewport: { width: 1000, height: 800 }, ...settings });
  const page = await context.newPage();
  page.setDefaultTimeout(15000);
  // A line that drops is written to the console by the browser itself; everything else there is a fault.
  page.on("console", (said) => {
    if (said.type() === "error" && !/WebSocket connection/.test(said.text())) complaints.push(`${name}: ${said.text()}`);
  });
  page.on("pageerror", (error) => complaints.push(`${name}: ${error}`));
  page.on("request", (request) => {
    if (![address, closed].some((ours) => request.url().startsWith(ours)) && !request.url().startsWith("data:")) complaints.push(`outside: ${request.url()}`);
  });
  await page.goto(address);
  if (name) {
    await page.getByLabel("Your name for tonight").fill(name);
    await page.keyboard.press("Enter");
    await page.getByText(`${name}, `).waitFor();
  }
  return page;
}

async function accessible(page, where) {
  // The checker is put there by the driver, not by the page: the page's own policy forbids it, as it should.
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => globalThis.axe.run());
  const found = violations.map(({ id, impact, nodes }) => `${impact} ${id}: ${nodes.map((node) => node.html).join(" | ")}`);
  const serious = found.filter((line) => /^(serious|critical)/.test(line));
  assert.deepEqual(serious, [], `${where}: ${serious.join("\n")}`);
  console.log(`${where}: ${found.length} findings, none serious${found.length ? `: ${found.join("; ")}` : ""}`);
}

async function fits(page, where) {
  const [wide, there] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  assert.ok(wide <= there, `${where}: ${wide} wide in ${there}`);
}

const field = (page) => page.getByLabel("Next line");
const headline = (page, text) => page.locator("#lines").getByRole("heading", { name: text });

// Joining; before that, nothing else can be reached.
const door = await sitDown("");
await accessible(door, "the door");
await door.screenshot({ path: join(pictures, "door.png") });
await door.close();
const ada = await sitDown("Ada");
const phone = { viewport: { width: 360, height: 640 }, hasTouch: true, isMobile: true, colorScheme: "dark" };
const bo = await sitDown("Bo", phone);
await ada.getByText("Ada, 2 are here.").waitFor();
console.log("joined");

// Asking; the second person sees it.
await field(ada).fill("/check 2d6 7+");
await field(ada).press("Enter");
for (const page of [ada, bo]) {
  await headline(page, "7+ on 2d6 passes 7 times in 12 (58.3%)").waitFor();
  assert.equal(await page.getByRole("img", { name: /^Bar chart of/ }).count(), 1);
  assert.match(await page.locator("#lines").innerText(), /Ada/);
}
assert.match(await bo.locator("#heard").textContent(), /^Answer for Ada: 7\+ on 2d6/);
await ada.locator("#lines .waits").waitFor({ state: "detached" });
console.log("asked, and seen by the second person");

// Completion with keys, then with a finger.
await field(ada).pressSequentially("/mat");
await ada.getByRole("option", { name: "/matchup" }).waitFor();
await ada.keyboard.press("ArrowDown");
assert.equal(await field(ada).getAttribute("aria-activedescendant"), "word-0");
await ada.keyboard.press("Tab");
await ada.keyboard.type("3 barges v her");
await ada.getByRole("option", { name: "Heron Carriage" }).waitFor();
await ada.screenshot({ path: join(pictures, "completion.png") });
await ada.keyboard.press("ArrowDown");
await ada.keyboard.press("Enter");
assert.equal(await field(ada).inputValue(), "/matchup 3 barges v Heron Carriage ");
await ada.keyboard.type("front");
await ada.keyboard.press("Escape");
await ada.keyboard.press("Enter");
await headline(ada, "Three Reed Barges wreck the Heron Carriage 1 time in 4 (25%)").waitFor();
await field(bo).tap();
await bo.keyboard.type("otter s");
await bo.keyboard.press("Backspace");
await bo.keyboard.press("Backspace");
await bo.getByRole("option", { name: "Otter Skiff" }).tap();
assert.equal(await field(bo).inputValue(), "Otter Skiff ");
await field(bo).fill("");
console.log("completed with keys and with a finger");

// A follow-up, by the other person, with the finger.
await bo.getByRole("button", { name: /side/i }).first().tap();
await bo.getByText("Read as: 3 Reed Barges v Heron Carriage, side").waitFor();
await ada.getByText("Read as: 3 Reed Barges v Heron Carriage, side").waitFor();
console.log("asked on with a button");

// A question back is for one person; what is typed next completes it.
await field(ada).fill("/matchup heron rear, 2 left");
await field(ada).press("Enter");
await ada.locator("#aside").getByRole("heading", { name: "Who attacks?" }).waitFor();
assert.equal(await bo.getByText("Who attacks?").count(), 0);
await ada.screenshot({ path: join(pictures, "question.png") });
await field(ada).fill("3 barges");
await field(ada).press("Enter");
await ada.getByText("Read as: 3 Reed Barges v Heron Carriage, rear, 2 left").waitFor();
console.log("a question back");

// Markup and hidden characters are words.
await field(ada).fill("<img src=x onerror=document.title='taken'><b>bold</b> \u202eright to left");
await field(ada).press("Enter");
await bo.locator("#lines").getByText("<img src=x onerror=document.title='taken'><b>bold</b> right to left").waitFor();
assert.equal(await bo.locator("#lines img, #lines .words b").count(), 0);
assert.equal(await bo.title(), "Pipwright: the club room");
await ada.getByText("was not read as a question").waitFor();
await field(ada).fill("x".repeat(6000));
await field(ada).press("Enter");
await ada.getByText("That message is too long: 6000 characters, and up to 2,000 fit.").waitFor();
await field(ada).fill("");
console.log("markup, hidden characters and long messages");

// Steps and figures open with the keyboard alone.
await ada.locator("summary", { hasText: "Chart in figures" }).last().focus();
await ada.keyboard.press("Enter");
await ada.getByRole("table").first().waitFor();
await ada.keyboard.press("Enter");
console.log("details open by keys");

// Every way of looking at it.
await accessible(ada, "the table, light");
await accessible(bo, "the table on a phone, dark");
await fits(bo, "a phone of 360 pixels");
await fits(ada, "a wide screen");
await bo.screenshot({ path: join(pictures, "phone-dark.png") });
await ada.screenshot({ path: join(pictures, "wide-light.png") });
await bo.emulateMedia({ colorScheme: "light" });
await bo.evaluate(() => { document.querySelector("#ledger").scrollTop = 0; });
await bo.screenshot({ path: join(pictures, "phone-light.png") });
await bo.evaluate(() => { document.querySelector("#ledger").scrollTop = 1e6; });
await ada.emulateMedia({ colorScheme: "dark" });
await ada.screenshot({ path: join(pictures, "wide-dark.png") });

// The room closes; what is written meanwhile is kept; it opens again.
await please("close");
await ada.getByText("The line to the room is down.").waitFor();
await field(ada).fill("/check 3d6 10+");
await field(ada).press("Enter");
await ada.getByText("Kept until the line is back.").waitFor();
await ada.screenshot({ path: join(pictures, "away.png") });
await please("open");
for (const page of [ada, bo]) {
  await page.getByText("The room was opened anew").waitFor();
  await headline(page, /^10\+ on 3d6/).waitFor();
  // What was there before is still to be read.
  assert.equal(await headline(page, "7+ on 2d6 passes 7 times in 12 (58.3%)").count(), 1);
}
await ada.getByText("Ada, 2 are here.").waitFor();
console.log("closed and opened again, with nothing lost");

// Who loads the page again sits where they sat; who comes late reads what was said.
await ada.reload();
await ada.getByText("Ada, 2 are here.").waitFor();
await headline(ada, /^10\+ on 3d6/).waitFor();
const late = await sitDown("Cy");
await headline(late, /^10\+ on 3d6/).waitFor();
const other = await sitDown("");
await other.getByLabel("Your name for tonight").fill("ada");
await other.keyboard.press("Enter");
await other.getByText("Somebody here is called ada already.").waitFor();
console.log("loaded again, came late, took a taken name");

// A room behind a pass phrase asks for it.
const guest = await sitDown("");
await guest.goto(closed);
await guest.getByLabel("Your name for tonight").fill("Di");
await guest.keyboard.press("Enter");
await guest.getByText("Enter the pass phrase of tonight.").waitFor();
await guest.getByLabel("Pass phrase of tonight").fill("nine wet geese");
await guest.keyboard.press("Enter");
await guest.waitForFunction(() => document.querySelector("#turned").textContent !== "");
await accessible(guest, "a refused guest");
await guest.getByLabel("Pass phrase of tonight").fill("nine wet herons");
await guest.keyboard.press("Enter");
await guest.getByText("Di, you are alone here.").waitFor();
console.log("a pass phrase");

await browser.close();
assert.deepEqual(complaints, []);
console.log("all seen");
process.exit(0);
