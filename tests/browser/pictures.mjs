// The two pictures of the README: an answer in the room on a phone, and the review of a unit.
// usage: node pictures.mjs SERVICE ROOM NODE_MODULES FOLDER
import { mkdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const [service, room, modules, folder] = process.argv.slice(2);
const require = createRequire(join(modules, "here.js"));
const { chromium } = require("playwright-core");
mkdirSync(folder, { recursive: true });
const browser = await chromium.launch({ executablePath: "/usr/bin/chromium", args: ["--no-sandbox", "--disable-dev-shm-usage"] });

const phone = await browser.newPage({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
await phone.goto(room);
await phone.getByLabel("Your name for tonight").fill("Ada");
await phone.keyboard.press("Enter");
await phone.getByRole("heading", { name: "Canal Guild" }).waitFor();
await phone.getByLabel("Next line").fill("3 barges v heron rear");
await phone.keyboard.press("Enter");
await phone.getByRole("group", { name: "Change one thing" }).waitFor();
await phone.evaluate(() => document.activeElement.blur());
await phone.waitForTimeout(300);
await phone.screenshot({ path: join(folder, "answer.png") });

const desk = await browser.newPage({ viewport: { width: 768, height: 1100 } });
await desk.goto(`${service}/v1/appraisal.html?pack=canal-guild&unit=heron-carriage`);
await desk.screenshot({ path: join(folder, "review.png") });
await browser.close();
