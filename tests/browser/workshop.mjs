// The workshop in a real browser: a pack is written, a mistake is shown and mended, the matchup and the league beside it
// change, the pack is taken away as a folder and as a link, on a desk and on a phone.
// usage: node workshop.mjs ADDRESS NODE_MODULES PICTURES TOLD.json FOLDER; TOLD is what is typed and what the service says of
// the pack that the test has put together by itself; the downloaded files go into FOLDER.
import assert from "node:assert/strict";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const [address, modules, pictures, toldFile, folder] = process.argv.slice(2);
const told = JSON.parse(readFileSync(toldFile, "utf8"));
const require = createRequire(join(modules, "here.js"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
mkdirSync(pictures, { recursive: true });

const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-dev-shm-usage"] });
const complaints = [];

async function profile(name, settings = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true, ...settings });
  context.setDefaultTimeout(20000);
  return { name, context };
}

// A refusal and a line that is down are written to the console by the browser itself; everything else there is a fault.
async function window({ name, context }, path = "/workshop") {
  const page = await context.newPage();
  page.on("console", (said) => said.type() === "error" && !/Failed to load resource/.test(said.text()) && complaints.push(`${name}: ${said.text()}`));
  page.on("pageerror", (error) => complaints.push(`${name}: ${error.stack ?? error}`));
  page.on("request", (request) => request.url().startsWith(address) || request.url().startsWith("blob:") || complaints.push(`outside: ${request.url()}`));
  const answer = await page.goto(`${address}${path}`);
  assert.equal(answer.status(), 200);
  const policy = answer.headers()["content-security-policy"];
  assert.ok(policy.startsWith("default-src 'none'; script-src 'self'; style-src 'self'") && !/unsafe|\*|http/.test(policy), policy);
  return page;
}

const editor = (page) => page.locator("#editor .cm-content");
async function state(page, text) {
  await page.locator("#state").filter({ hasText: text }).waitFor().catch(async (error) => {
    throw new Error(`“${text}” was waited for, and it says: ${await page.locator("#state").textContent()} ${await page.locator("#notice").textContent()} ${complaints.join("\n")}`, { cause: error });
  });
}
const file = (page, name) => page.locator("#files button", { hasText: name }).first();
const figure = (page, name, column) => page.locator(`#trial-result tr[data-figure="${name}"] td`).nth(column);

// What the page holds, read where it keeps it.
async function texts(page) {
  return page.evaluate(() => {
    const kept = JSON.parse(localStorage.getItem(`pipwright-workshop:${location.hash.slice(1)}`));
    return Object.fromEntries(kept.files.map(({ name, text }) => [name, text]));
  });
}

async function typeAtEnd(page, name, text) {
  await file(page, name).click();
  await editor(page).click();
  await page.keyboard.press("Control+End");
  await page.keyboard.type(text);
}

// A figure as it is printed is the number that it stands for, to the digits that are printed.
function prints(shown, value, where) {
  const digits = shown.match(/^(\d+)(?:\.(\d+))?(%?)$/);
  assert.ok(digits, `${where}: ${shown}`);
  const scaled = digits[3] ? value * 100 : value;
  const half = 0.5 * 10 ** -(digits[2]?.length ?? 0);
  assert.ok(Math.abs(Number.parseFloat(shown) - scaled) <= half + 1e-9, `${where}: ${shown} is not ${scaled}`);
}

async function looked(page, where) {
  const [wide, there] = await page.evaluate(() => [document.documentElement.scrollWidth, document.documentElement.clientWidth]);
  if (wide > there) complaints.push(`${where}: ${wide} wide in ${there}`);
  // The checker is put there by the driver, not by the page: the page's own policy forbids it, as it should.
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => globalThis.axe.run());
  for (const { id, impact, nodes } of violations) complaints.push(`${where}: ${impact} ${id}: ${nodes.map((node) => node.html).slice(0, 3).join(" | ")}`);
}

// Starting from the small pack.
const desk = await profile("desk", { colorScheme: "light" });
const page = await window(desk);
await looked(page, "the start");
await page.screenshot({ path: join(pictures, "workshop-start.png"), fullPage: true });
await page.getByRole("button", { name: "Start from a small pack" }).click();
await state(page, "No mistakes");
assert.deepEqual(await texts(page), told.start);
await figure(page, "destroyed", 1).waitFor();
assert.deepEqual(await figure(page, "destroyed", 0).textContent(), await figure(page, "destroyed", 1).textContent());
console.log("started from the small pack");

// A weapon and a rule are typed; then a unit with a mistake in it.
await typeAtEnd(page, "units.toml", told.typed.weapon);
await typeAtEnd(page, "rules.toml", told.typed.rule);
await state(page, "warning");
await typeAtEnd(page, "units.toml", told.typed.unit);
await state(page, "1 mistake.");
const underlined = page.locator("#editor .cm-lintRange-error");
await underlined.waitFor();
assert.equal(await underlined.textContent(), told.mistake.words);
const line = await underlined.evaluate((node) => node.closest(".cm-line").textContent);
assert.equal(line, told.mistake.line);
assert.equal(await page.locator("#faults li").first().locator("button").first().textContent(), `units.toml, line ${told.mistake.at}`);
assert.match(await page.locator("#faults li").first().textContent(), /no rule is called "runing-start".*did you mean "running-start"/);
await underlined.hover();
await page.locator("#editor .cm-tooltip-lint", { hasText: "did you mean" }).waitFor();
await page.screenshot({ path: join(pictures, "workshop-mistake.png") });
await looked(page, "a mistake is shown");
console.log("a mistake is shown at its place");

// Mended by what would mend it.
await page.locator("#faults li").first().getByRole("button", { name: "Write \"running-start\"" }).click();
await state(page, "No mistakes");
await underlined.waitFor({ state: "detached" });
console.log("mended");

// A field of the form changes its own line and no other.
const before = await texts(page);
await page.locator("#form").getByRole("button", { name: "Weapons" }).click();
await page.getByLabel("Which weapon").selectOption("apple-sling");
await page.locator("#form").getByLabel("Heft").fill("4");
await state(page, "No mistakes");
await page.waitForFunction((was) => JSON.parse(localStorage.getItem(`pipwright-workshop:${location.hash.slice(1)}`)).files[1].text !== was, before["units.toml"]);
const after = await texts(page);
const differing = before["units.toml"].split("\n").flatMap((was, at) => (was === after["units.toml"].split("\n")[at] ? [] : [[was, after["units.toml"].split("\n")[at]]]));
assert.deepEqual(differing, [["stats = { heft = 3 }", "stats = { heft = 4 }"]]);
assert.deepEqual(after, told.written, "the same text as the test has put together");
console.log("a field changes its line");

// The matchup beside it, against the figures that the service gives for the test's own pack.
await page.locator("#trial").getByLabel("Attacker", { exact: true }).selectOption(told.matchup.attacker);
await page.locator("#trial").getByLabel("Target", { exact: true }).selectOption(told.matchup.target);
await page.locator("#trial").getByLabel("Its models").fill(String(told.matchup.models));
await page.waitForFunction((cost) => document.querySelector('#trial-result tr[data-figure="cost"] td:nth-of-type(2)')?.textContent === cost, String(told.figures.now.cost));
for (const name of ["destroyed", "removed", "models", "through"]) {
  prints(await figure(page, name, 0).textContent(), told.figures.before[name], `${name} before`);
  prints(await figure(page, name, 1).textContent(), told.figures.now[name], `${name} now`);
}
assert.notEqual(await figure(page, "destroyed", 0).textContent(), await figure(page, "destroyed", 1).textContent());
assert.match(await page.locator("#trial-result ul").textContent(), /footing: needs/);
console.log("the matchup changes");

// A unit that was not there before, and a rule that applies.
await page.locator("#trial").getByLabel("Attacker", { exact: true }).selectOption("goat-riders");
await page.locator("#trial").getByLabel("the attacker moved").check();
// What was assumed before is gone once the answer to both changes is there.
await page.waitForFunction(() => /By the pack as it was at the start: /.test(document.querySelector("#trial-result").textContent) && !/has not moved/.test(document.querySelector("#trial-result").textContent));
prints(await figure(page, "destroyed", 1).textContent(), told.figures.added.destroyed, "the new unit");
console.log("a unit that is new");

// The league, when asked for.
await page.getByRole("button", { name: "Work out the league" }).click();
await page.locator("#league-result table").waitFor();
for (const [unit, worths] of Object.entries(told.league)) {
  const cells = page.locator(`#league-result tr[data-unit="${unit}"] td`);
  if (worths.before !== null) prints(await cells.nth(1).textContent(), worths.before, `${unit} before`);
  else assert.equal(await cells.nth(3).textContent(), "new");
  prints(await cells.nth(2).textContent(), worths.now, `${unit} now`);
}
await looked(page, "everything worked out");
await page.emulateMedia({ colorScheme: "dark" });
await looked(page, "everything worked out, in the dark");
await page.screenshot({ path: join(pictures, "workshop-desk.png"), fullPage: true });
await page.emulateMedia({ colorScheme: "light" });
console.log("the league before and after");

// Away as a folder.
const downloading = page.waitForEvent("download");
await page.getByRole("button", { name: "Download as a folder" }).click();
const download = await downloading;
assert.equal(download.suggestedFilename(), "our-club.zip");
await download.saveAs(join(folder, "our-club.zip"));
assert.equal(await page.locator("#take code").textContent(), "PIPWRIGHT_PACKS=our-club PIPWRIGHT_PACK=our-club pipwright-bot");
console.log("downloaded");

// Away as a link, which a fresh profile opens.
await page.getByRole("button", { name: "Make a link" }).click();
const link = await page.getByLabel("Link to the pack as it is now").inputValue();
assert.equal(link, `${address}/workshop?pack=${told.address}`);
await page.getByText("for 30 days after its last use").waitFor();
const other = await profile("guest", { viewport: { width: 360, height: 740 }, isMobile: true, hasTouch: true, colorScheme: "dark" });
const phone = await window(other, `/workshop?pack=${told.address}`);
await state(phone, "No mistakes");
assert.deepEqual(await texts(phone), told.written);
await figure(phone, "destroyed", 1).waitFor();
await looked(phone, "a phone");
await phone.getByRole("button", { name: "Work out the league" }).click();
await phone.locator("#league-result table").waitFor();
await looked(phone, "a phone with a league");
await phone.screenshot({ path: join(pictures, "workshop-phone.png"), fullPage: true });
await phone.emulateMedia({ colorScheme: "light" });
await looked(phone, "a phone in the light");
console.log("a link opened elsewhere");
const lost = await window(await profile("late"), `/workshop?pack=sha256:${"0".repeat(64)}`);
await lost.getByText("The pack behind this link is gone").waitFor();
await lost.getByRole("button", { name: "Start from a small pack" }).waitFor();
console.log("a link to a pack that is gone");

// The service is away: what is typed stays, through a reload too; a second window of the same pack takes nothing away.
await desk.context.setOffline(true);
await typeAtEnd(page, "units.toml", "# typed while away\n");
await state(page, "The service can't be reached.");
assert.ok((await texts(page))["units.toml"].endsWith("# typed while away\n"));
await page.locator("#trial").getByLabel("Its models").fill("5");
await page.locator("#trial-result").getByText("The service can't be reached at the moment.").waitFor();
await desk.context.setOffline(false);
await state(page, "No mistakes");
await figure(page, "destroyed", 1).waitFor();
await page.reload();
await state(page, "No mistakes");
assert.equal((await texts(page))["units.toml"], `${told.written["units.toml"]}# typed while away\n`);
await file(page, "units.toml").click();
assert.match(await editor(page).textContent(), /heft = 4/);
const twin = await window(desk, `/workshop${new URL(page.url()).hash}`);
await state(twin, "No mistakes");
await typeAtEnd(twin, "units.toml", "# from the second window\n");
await page.getByText("The same pack is open in another window.").waitFor();
await typeAtEnd(page, "units.toml", "# from the first window\n");
assert.notEqual(new URL(page.url()).hash, new URL(twin.url()).hash);
assert.match((await texts(page))["units.toml"], /# from the first window\n$/);
assert.match((await texts(twin))["units.toml"], /# from the second window\n$/);
console.log("nothing typed is lost");

// Files of one's own: the folder that was downloaded, and one that is no pack.
const own = await window(await profile("own"));
await own.getByLabel("Files, or a ZIP file").setInputFiles(join(folder, "our-club.zip"));
await state(own, "No mistakes");
assert.deepEqual(await texts(own), told.written);
await own.getByRole("button", { name: "Start another pack" }).click();
await own.getByLabel("Files, or a ZIP file").setInputFiles([{ name: "notes.txt", mimeType: "text/plain", buffer: Buffer.from("none") }]);
await own.getByText("None of these is a file of a pack").waitFor();
await own.getByLabel("Files, or a ZIP file").setInputFiles([{ name: "rules.toml", mimeType: "text/plain", buffer: Buffer.alloc(5 << 20, "# too much\n") }]);
await own.getByText("These files have 5 MiB together, and a pack may have 4 MiB here.").waitFor();
// A pack that is more than the check takes is checked all the same, and the page says how.
const long = `${told.start["units.toml"]}${"# A remark that nobody needs, many times over.\n".repeat(6000)}`;
await own.getByLabel("Files, or a ZIP file").setInputFiles(Object.entries({ ...told.start, "units.toml": long }).map(([name, text]) => ({ name, mimeType: "text/plain", buffer: Buffer.from(text) })));
await state(own, "No mistakes. It is larger than 256 KiB");
await own.getByRole("button", { name: "Start another pack" }).click();
await own.getByRole("button", { name: "Start from Canal Guild" }).click();
await state(own, "No mistakes");
await figure(own, "destroyed", 1).waitFor();
await own.getByText("The service has a pack called canal-guild already").waitFor();
// Every unit of a large book in the form: none of them changes the text by being looked at.
const untouched = await texts(own);
const picks = await own.getByLabel("Which unit").locator("option").evaluateAll((all) => all.map(({ value }) => value));
assert.ok(picks.length >= 20, `${picks.length} units`);
for (const unit of picks) await own.getByLabel("Which unit").selectOption(unit);
assert.deepEqual(await texts(own), untouched);
// Numbers that differ by arc have a field each; those of other kinds of unit have none.
await own.getByLabel("Which unit").selectOption("heron-carriage");
const front = untouched["units.toml"].match(/id = "heron-carriage"[\s\S]*?front = (\d+)/)[1];
assert.equal(await own.locator("#form").getByLabel("Hull front").inputValue(), front);
assert.equal(await own.locator("#form").getByLabel("Bulk").count(), 0);
await looked(own, "a demo pack");
console.log("files of one's own, and a demo pack");

// A unit and a weapon from the form, and what is ticked there.
await own.getByLabel("Which unit").selectOption("dyke-hands");
await own.getByLabel("Name of a new unit").fill("Sluice Hands");
await own.getByRole("button", { name: "Add a unit like Dyke Hands" }).click();
await own.getByLabel("Which unit").locator("option[value=sluice-hands]").waitFor({ state: "attached" });
assert.equal(await own.getByLabel("Which unit").inputValue(), "sluice-hands");
await own.locator("#form").getByLabel("Points").fill("31");
await own.locator("#form .tick", { hasText: "carbine" }).locator("input").check();
await own.locator("#form").getByRole("button", { name: "Weapons" }).click();
await own.getByLabel("Name of a new weapon").fill("Long pole");
await own.getByRole("button", { name: /^Add a weapon like/ }).click();
await state(own, "No mistakes");
const grown = (await texts(own))["units.toml"];
assert.ok(grown.startsWith(untouched["units.toml"]), "what was there is as it was");
const added = grown.slice(untouched["units.toml"].length);
for (const said of ["[[unit]]\nid = \"sluice-hands\"\nlabel = \"Sluice Hands\"\n", "points = 31\n", "\"carbine\"]", "[[weapon]]\nid = \"long-pole\"\nlabel = \"Long pole\"\n"]) {
  assert.ok(added.includes(said), `${said} in ${added}`);
}
console.log("a unit and a weapon from the form");

await browser.close();
for (const said of complaints) console.log(said);
assert.deepEqual(complaints, []);
console.log("all seen");
process.exit(0);
