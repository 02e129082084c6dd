// The review of every unit, units side by side and leagues as pages in a real browser: on a phone in the dark, on a desk, and
// on paper. Of the packs that are sent, the files, only some units.
// usage: node pages.mjs ADDRESS NODE_MODULES PICTURES [PACK.json …]
import assert from "node:assert/strict";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { basename, join } from "node:path";

const [address, modules, pictures, ...files] = process.argv.slice(2);
const require = createRequire(join(modules, "here.js"));
const { chromium } = require("playwright-core");
const axe = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");
mkdirSync(pictures, { recursive: true });

const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-dev-shm-usage"] });
const complaints = [];

// What a reader would call broken: wider than the screen, words over other words, words cut off by their picture.
function looked() {
  const found = [];
  const root = document.documentElement;
  if (root.scrollWidth > root.clientWidth) found.push(`${root.scrollWidth} wide in ${root.clientWidth}`);
  for (const [number, drawing] of [...document.querySelectorAll("svg")].entries()) {
    const frame = drawing.getBoundingClientRect();
    const words = [...drawing.querySelectorAll("text")].map((text) => ({ said: text.textContent, box: text.getBoundingClientRect() }));
    for (const { said, box } of words) {
      const size = Math.min(box.height, 40);
      if (box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 1 || box.bottom > frame.bottom + 1) found.push(`picture ${number + 1}: “${said}” is cut off`);
      if (size < 9) found.push(`picture ${number + 1}: “${said}” is ${size.toFixed(1)} px high`);
    }
    words.forEach((one, at) => {
      for (const other of words.slice(at + 1)) {
        const [wide, high] = [Math.min(one.box.right, other.box.right) - Math.max(one.box.left, other.box.left), Math.min(one.box.bottom, other.box.bottom) - Math.max(one.box.top, other.box.top)];
        if (wide > 1 && high > 3) found.push(`picture ${number + 1}: “${one.said}” lies over “${other.said}”`);
      }
    });
  }
  if (!document.querySelector("svg, .text")) found.push("neither a picture nor a word about why there is none");
  for (const region of document.querySelectorAll(".table")) if (region.scrollWidth > region.clientWidth + 1) found.push(`“${region.getAttribute("aria-label")}” is ${region.scrollWidth} wide in ${region.clientWidth}`);
  for (const table of document.querySelectorAll("table")) if (!table.tBodies[0]?.rows.length) found.push(`an empty table: ${table.caption?.textContent}`);
  for (const cell of document.querySelectorAll("td")) if (/NaN|inf|undefined|null/i.test(cell.textContent)) found.push(`a cell says ${cell.textContent}`);
  return found;
}

// A phone in the dark; a tablet in the light, whose page is then made as wide as a desk's, as a window is.
const browsers = [
  { settings: { viewport: { width: 360, height: 740 }, isMobile: true, hasTouch: true, colorScheme: "dark" }, screens: [["phone"]] },
  { settings: { viewport: { width: 768, height: 1024 }, colorScheme: "light" }, screens: [["tablet"], ["desk", { width: 1280, height: 900 }]] },
];
const get = async (path) => (await fetch(`${address}${path}`)).json();
// What is looked at: a name for its pictures, and the page's path.
const pages = [];
const { packs } = await get("/v1/packs");
for (const { id } of packs) {
  const { units } = await get(`/v1/packs/${id}/units`);
  for (const unit of units) pages.push([`${id}-${unit.id}`, `/v1/appraisal.html?pack=${id}&unit=${unit.id}`]);
  for (const many of [2, 4]) pages.push([`${id}-beside-${many}`, beside(id, units.slice(-many))]);
  pages.push([`${id}-league`, `/v1/worth.html?pack=${id}`]);
}
for (const file of files) {
  const body = readFileSync(file, "utf8");
  const sent = await fetch(`${address}/v1/packs`, { method: "POST", headers: { "content-type": "application/json" }, body });
  assert.ok(sent.ok, sent.ok || await sent.text());
  const { address: pack } = await sent.json();
  const id = basename(file, ".json");
  const { units } = await get(`/v1/packs/${pack}/units`);
  const some = units.filter((_, at) => at % Math.ceil(units.length / 5) === 0 || units.length - at <= 4 && units.length < 20);
  for (const unit of some) pages.push([`${id}-${unit.id}`, `/v1/appraisal.html?pack=${pack}&unit=${unit.id}`]);
  pages.push([`${id}-beside`, beside(pack, some.slice(-3))]);
}

function beside(pack, units) {
  return `/v1/side-by-side.html?pack=${pack}&${units.map((unit, at) => `units.${at}.unit=${unit.id}`).join("&")}`;
}

let seen = 0;
let most = 0;
for (const [name, path] of pages) {
  for (const { settings, screens } of browsers) {
    const context = await browser.newContext(settings);
    const page = await context.newPage();
    page.setDefaultTimeout(60000);
    page.on("console", (said) => said.type() === "error" && complaints.push(`${name}: ${said.text()}`));
    page.on("request", (request) => request.url().startsWith(address) || complaints.push(`outside: ${request.url()}`));
    const answer = await page.goto(`${address}${path}`, { timeout: 60000 });
    assert.equal(answer.status(), 200, path);
    for (const [screen, size] of screens) {
      if (size) await page.setViewportSize(size);
      for (const fault of await page.evaluate(looked)) complaints.push(`${name} on a ${screen}: ${fault}`);
      await page.screenshot({ path: join(pictures, `${name}-${screen}.png`), fullPage: true });
      if (screen !== "desk") continue;
      const paper = await page.pdf({ format: "A4", printBackground: false, path: join(pictures, `${name}.pdf`) });
      const sheets = (paper.toString("latin1").match(/\/Type\s*\/Page\b/g) ?? []).length;
      most = Math.max(most, sheets);
      // A review with its texts takes three sheets at most, but that of a unit with forty options.
      if (path.startsWith("/v1/appraisal") && !name.endsWith("-many") && (sheets < 1 || sheets > 3)) complaints.push(`${name} takes ${sheets} sheets of paper`);
    }
    // In the dark and in the light.
    await page.evaluate(axe);
    const { violations } = await page.evaluate(() => globalThis.axe.run());
    for (const { id, impact, nodes } of violations) complaints.push(`${name} at ${page.viewportSize().width}: ${impact} ${id}: ${nodes[0].html}`);
    await context.close();
  }
  seen += 1;
}
await browser.close();
console.log(`${seen} pages seen, at most ${most} sheets`);
for (const line of complaints) console.log(line);
assert.deepEqual(complaints, []);
console.log("all seen");
