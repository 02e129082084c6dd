// The workshop: a pack in work, checked while it is typed, with a matchup and a league beside it. What is typed is kept in
// this browser before anything else is done with it.
import * as drafts from "/workshop/drafts.js";
import { Form } from "/workshop/form.js";
import { League } from "/workshop/league.js";
import { afterPause, element, labelled, several, size } from "/workshop/page.js";
import * as service from "/workshop/service.js";
import { Take, isText, opened, payload, textFile } from "/workshop/take.js";
import { Text, mended } from "/workshop/text.js";
import { quoted, read, set } from "/workshop/toml.js";
import { Trial } from "/workshop/trial.js";

// How long somebody has to pause before what they typed is sent; longer where the whole pack has to be read each time.
const PAUSE = 350;
const LONG_PAUSE = 2000;
// How long after a failure it is tried again.
const AGAIN = 3000;
const AWAY = "The service can't be reached. Packs kept in this browser can be worked on; what they come to is worked out when it is back.";
// So many mistakes are listed; the rest is underlined in the text.
const LISTED = 60;

const find = (id) => document.getElementById(id);
const part = (id) => document.querySelector(`#${id} > div`);
const utf8 = new TextEncoder();

let limits = { check_bytes: 256 << 10, pack_bytes: 4 << 20 };
let starter = [];
let builtIn = [];
let draft;
let faults = [];
let good = false;
let addresses = { before: undefined, now: undefined };
let startFaulty = false;
let round = 0;
let stopping = new AbortController();
let checked = "";
let kept = true;
let renewed = false;

const text = new Text(find("editor"), { changed, moved: (file, at) => form.follow(file, at) });
const form = new Form(part("form"), text, () => draft.files.filter((file) => isText(file) && /\.toml$/i.test(file.name)).map(({ name }) => name));
const trial = new Trial(part("trial"), { renew, keep: (asked) => { draft.trial = asked; keep(); } });
const league = new League(part("league"), { packs: () => (good ? addresses : {}), renew: addressesAgain });
const take = new Take(part("take"), { pack: packed, faulty: () => !good, limits, builtIn: () => builtIn });
const checkLater = afterPause(PAUSE, check);
const checkMuchLater = afterPause(LONG_PAUSE, check);
const tryAgain = afterPause(AGAIN, check);

function notice(said) {
  find("notice").textContent = said;
}

// ---- what is kept ----

function keep() {
  kept = drafts.keep(draft);
}

function say(what, mood) {
  const stored = kept ? "What you write is kept in this browser." : "This browser has no room to keep what you write: download it before you leave.";
  const state = find("state");
  // Who listens to the page hears what is new and not every key.
  if (state.textContent !== `${what} ${stored}`) state.textContent = `${what} ${stored}`;
  state.className = kept ? mood ?? "" : "away";
}

drafts.whenTaken({ get id() { return draft?.id; } }, () => {
  drafts.fork(draft);
  keep();
  history.replaceState(null, "", `#${draft.id}`);
  notice("The same pack is open in another window. What you write here is kept as a pack of its own from now on.");
});

// ---- the pack's own words ----

// The top of the rules: the file that says how the pack is called.
function tops() {
  return draft.files.filter(isText).map(({ name }) => {
    const parsed = read(name, text.text(name));
    const top = parsed?.tables[0];
    const value = (key) => top?.body.find((node) => node.key.keys.length === 1 && (node.key.keys[0].name ?? node.key.keys[0].value) === key)?.value;
    return { name, parsed, id: value("pack"), title: value("name"), base: value("extends")?.value };
  });
}

function called() {
  const all = tops().filter(({ parsed }) => parsed);
  // Where packs are built on each other, the one on top is meant.
  const beneath = all.map(({ base }) => base).filter(Boolean);
  const rules = all.find(({ id, title }) => title && !beneath.includes(id?.value)) ?? all.find(({ title, parsed }) => title || parsed.tables.some(({ resolvedKey: [first] }) => first === "kind")) ?? all.find(({ id }) => id);
  // Also where no file can be read, most of them still say which pack they are of.
  const said = () => draft.files.filter(isText).map((file) => file.text.match(/^pack *= *"([^"\n]+)"/m)?.[1]).find(Boolean);
  return { all, rules, id: rules?.id?.value ?? said() ?? "", title: rules?.title?.value ?? "" };
}

function packed() {
  const id = String(called().id).toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 40);
  return { id: id || "my-pack", files: draft.files };
}

function rename(key, said) {
  const { all, rules, id } = called();
  if (!rules) return;
  for (const { name, parsed, id: own, title } of all) {
    const node = key === "pack" ? own : title;
    const isOurs = key === "pack" ? node?.value === id : name === rules.name;
    if (!isOurs) continue;
    const values = new Map(node ? [[key, { value: node }]] : []);
    text.edit(name, set(parsed.text, { own: parsed.tables[0], values, tables: new Map() }, [key], quoted(said)));
  }
}

function drawPackFields() {
  const { id, title, rules } = called();
  const fields = find("pack-fields");
  if (!fields.firstChild) {
    const field = (key, label) => {
      const input = element("input", { autocomplete: "off", spellcheck: "false", maxlength: "60" });
      input.dataset.key = key;
      input.addEventListener("input", () => input.value.trim() && rename(key, input.value.trim()));
      return labelled(label, input);
    };
    fields.replaceChildren(field("name", "Name of the pack"), field("pack", "Its short name"));
  }
  for (const input of fields.querySelectorAll("input")) {
    input.disabled = !rules;
    if (input !== document.activeElement) input.value = input.dataset.key === "pack" ? id : title;
  }
  find("pack-title").textContent = title || id || draft.title || "A pack";
  if (title || id) draft.title = title || id;
}

// ---- files ----

function drawFiles() {
  const counts = (name) => faults.filter((fault) => fault.file === name && !fault.warning).length;
  const buttons = draft.files.map((file) => {
    if (!isText(file)) return element("span", { class: "note" }, `${file.name}: a spreadsheet, used as it is`);
    const wrong = counts(file.name);
    const show = () => {
      text.show(file.name);
      drawFiles();
    };
    return element("button", { type: "button", "aria-pressed": String(file.name === text.shown), onclick: show }, wrong ? `${file.name}: ${several(wrong, "mistake")}` : file.name);
  });
  find("files").replaceChildren(...buttons, element("button", { type: "button", onclick: addFile }, "Add a file"));
}

function addFile() {
  let name = "more.toml";
  for (let more = 2; draft.files.some((file) => file.name === name); more += 1) name = `more-${more}.toml`;
  const { id } = called();
  const begun = `# More of the pack: units, weapons or rules.\nformat = 1\npack = ${quoted(String(id))}\n`;
  draft.files.push({ name, text: begun });
  text.add(name, begun);
  text.show(name);
  changed(name);
}

function drawFaults() {
  const textual = new Set(draft.files.filter(isText).map(({ name }) => name));
  const lines = faults.slice(0, LISTED).map((fault) => {
    const where = fault.cell ? `${fault.file}, ${fault.cell}` : `${fault.file}, line ${fault.line}`;
    const go = () => {
      text.reveal(fault.file, text.offset(fault.file, fault), true);
      drawFiles();
    };
    const instead = mended(fault);
    const write = () => {
      const from = text.offset(fault.file, fault);
      // Where the text has moved on since, the next check says it anew.
      if (text.text(fault.file).slice(from, from + fault.words.length) === fault.words) text.edit(fault.file, { from, to: from + fault.words.length, insert: instead });
    };
    const known = textual.has(fault.file);
    return element("li", { class: fault.warning ? "warning" : false },
      known ? element("button", { type: "button", onclick: go }, where) : `${where}: `,
      `${fault.warning ? "Warning: " : ""}${fault.message}${fault.suggestion ? ` – ${fault.suggestion}` : ""} `,
      known && instead ? element("button", { type: "button", onclick: write }, `Write ${instead}`) : null);
  });
  if (faults.length > LISTED) lines.push(element("li", {}, `and ${faults.length - LISTED} more`));
  if (!lines.length) lines.push(element("li", { class: "none" }, "None."));
  find("faults").replaceChildren(...lines);
  drawFiles();
}

// ---- checking ----

function changed(name) {
  const file = draft.files.find((known) => known.name === name);
  file.text = text.text(name);
  keep();
  good = false;
  say("Being checked.");
  form.later();
  league.age();
  later();
}

function later() {
  stopping.abort();
  // Whatever is still on its way is about another text.
  round += 1;
  tryAgain.stop();
  const bytes = draft.files.reduce((sum, file) => sum + (file.text ?? file.base64).length, 0);
  (bytes > limits.check_bytes ? checkMuchLater : checkLater)();
}

// What the faults of a pack that was sent look like, which come without the words at fault.
const faultsOf = (problem) => (problem?.errors ?? []).filter(({ file }) => file !== undefined).map(({ detail, ...place }) => ({ ...place, message: detail, words: "", warning: false }));

async function check() {
  stopping.abort();
  stopping = new AbortController();
  const own = (round += 1);
  const newest = () => own === round;
  drawPackFields();
  take.draw();
  const body = payload(draft.files);
  const bytes = utf8.encode(body).length;
  if (bytes > limits.pack_bytes) {
    say(`This pack has ${size(bytes)} as it is sent, and the service takes ${size(limits.pack_bytes)}: it is not checked.`, "faulty");
    return;
  }
  const large = bytes > limits.check_bytes;
  let told = large ? await service.send(body) : await service.ask("/v1/packs/check", body, stopping.signal);
  if (!newest() || told.stopped) return;
  if (told.away || told.problem?.status === 429 || told.problem?.status >= 500) return notNow(told);
  if (told.problem && !faultsOf(told.problem).length) {
    say(told.problem.detail, "faulty");
    return;
  }
  faults = large ? faultsOf(told.problem) : told.answer.faults;
  good = large ? Boolean(told.answer) : told.answer.good;
  checked = body;
  text.mark(faults);
  drawFaults();
  const wrong = faults.filter(({ warning }) => !warning).length;
  const warned = faults.length - wrong;
  const note = large ? ` It is larger than ${size(limits.check_bytes)}, so it is checked when you pause for two seconds, and without warnings.` : "";
  say(`${wrong ? several(wrong, "mistake") : "No mistakes"}${warned ? `, ${several(warned, "warning")}` : ""}.${note}`, wrong ? "faulty" : "");
  if (!good) {
    trial.say("The pack has mistakes. Once they are mended, the matchup is worked out again.");
    return;
  }
  renewed = false;
  await work(own);
}

function notNow(told) {
  const what = told.away ? "The service can't be reached. Nothing is lost: the check goes on when it is back." : `${told.problem.detail} The check is tried again.`;
  say(what, "away");
  const wait = (told.problem?.wait ?? 0) * 1000;
  if (wait > AGAIN) setTimeout(tryAgain, wait - AGAIN);
  else tryAgain();
}

// The pack as it is and as it was go to the service, which answers what they are called; then the matchup is asked.
async function work(own) {
  const now = await service.send(checked);
  if (own !== round) return;
  if (!now.answer) return notNow(now);
  addresses.now = now.answer.address;
  if (addresses.before === undefined && !startFaulty) {
    const before = await service.ask("/v1/packs", payload(draft.start));
    if (own !== round) return;
    if (before.away || before.problem?.status === 429) return notNow(before);
    addresses.before = before.answer?.address;
    startFaulty = !before.answer;
  }
  await trial.update(addresses.before, addresses.now);
}

// The service has lost a pack that it had: it is sent again, once.
async function addressesAgain() {
  addresses = { before: undefined, now: undefined };
  service.forget();
  await work(round);
}

async function renew() {
  if (renewed) return trial.say("The service does not keep the pack. Change something to try it again.");
  renewed = true;
  return addressesAgain();
}

// ---- starting ----

function openDraft(opening) {
  draft = opening;
  faults = [];
  good = false;
  addresses = { before: undefined, now: undefined };
  startFaulty = false;
  keep();
  history.replaceState(null, "", `${location.pathname}#${draft.id}`);
  const texts = draft.files.filter(isText);
  text.open(texts);
  const first = texts.find(({ name }) => /unit/i.test(name)) ?? texts[0];
  if (first) text.show(first.name);
  find("start").hidden = true;
  find("desk").hidden = false;
  find("pack-fields").replaceChildren();
  form.drawn = "";
  form.draw();
  trial.begin(draft.trial);
  league.clear();
  drawFaults();
  say("Being checked.");
  check();
}

const begin = (title, files) => openDraft(drafts.begin(title, files));

function inOrder(files) {
  // `canal-guild/rules.toml` is `rules.toml` in a folder of its own, unless packs beneath lie beside it.
  const folders = new Set(files.map(({ name }) => name.split("/").slice(0, -1).join("/")));
  const cut = folders.size === 1 ? [...folders][0].length : 0;
  const seen = new Set();
  return files.map(({ name, text: said }, at) => {
    let short = cut ? name.slice(cut + 1) : name;
    if (!/\.(toml|csv)$/i.test(short)) short += ".toml";
    if (seen.has(short)) short = `${at + 1}-${short}`;
    seen.add(short);
    return textFile(short, said);
  });
}

async function beginWith(pack) {
  notice("");
  const { answer, problem } = await service.files(pack);
  if (answer) return begin(answer.name, inOrder(answer.files));
  if (service.gone(problem)) {
    notice("The pack behind this link is gone: the service keeps one for a while after its last use, 30 days where nothing else is set. Ask whoever sent the link to open the pack and make a new one.");
  } else notice(problem.detail);
  return showStart();
}

async function beginWithFiles(input) {
  notice("");
  try {
    const files = await opened(input.files, limits.pack_bytes);
    begin(files[0].name, files);
  } catch (error) {
    notice(error.message);
  }
  input.value = "";
}

function beginWithLink() {
  const said = find("link").value.trim();
  const pack = said.match(/sha256:[0-9a-f]{8,64}/i)?.[0] ?? decodeURIComponent(said.match(/[?&]pack=([^&#\s]+)/)?.[1] ?? "") ?? "";
  const named = pack || (/^[a-z0-9-]+(@[0-9a-f]+)?$/i.test(said) ? said : "");
  if (named) beginWith(named.toLowerCase());
  else notice("This is neither a link to a pack nor its sha256: address.");
}

function drawKept() {
  const list = drafts.all().filter(({ id }) => id !== draft?.id);
  if (!list.length) return find("kept").replaceChildren();
  const cards = list.map(({ id, title, changed: when }) => {
    const forget = element("button", { type: "button" }, "Remove");
    // Twice, because nobody else has it.
    forget.addEventListener("click", () => {
      if (forget.dataset.sure) {
        drafts.remove(id);
        drawKept();
      } else {
        forget.dataset.sure = "yes";
        forget.textContent = "Remove it for good";
      }
    });
    const date = new Date(when).toLocaleString("en", { dateStyle: "medium", timeStyle: "short" });
    return element("li", {}, element("p", {}, element("strong", {}, title || "A pack"), `, changed ${date}`),
      element("div", { class: "row" }, element("button", { type: "button", onclick: () => openDraft(drafts.open(id)) }, "Go on with it"), forget));
  });
  return find("kept").replaceChildren(element("h3", {}, "Kept in this browser"), element("ul", { class: "cards" }, ...cards));
}

async function showStart() {
  find("start").hidden = false;
  find("desk").hidden = true;
  find("back").hidden = !draft;
  drawKept();
  const list = [];
  const card = (title, about, go, named = title) => element("li", {}, element("p", {}, element("strong", {}, title), `: ${about}`), element("button", { type: "button", onclick: go }, `Start from ${named}`));
  const told = await service.packs();
  if (told.away) notice(AWAY);
  else if (find("notice").textContent === AWAY) notice("");
  if (!starter.length) await fetchStart();
  if (starter.length) list.push(card("A small pack", "a few rules, two units and two weapons, with a comment on everything.", () => begin("Our Club", starter.map(({ name, text: said }) => textFile(name, said))), "a small pack"));
  for (const { id, name, about } of told.answer?.packs ?? []) list.push(card(name, about, () => beginWith(id)));
  find("packs").replaceChildren(...list);
  if (!told.answer || !starter.length) setTimeout(() => find("start").hidden || showStart(), AGAIN);
}

async function fetchStart() {
  const { answer } = await service.ask("/workshop/start.json");
  if (!answer) return;
  starter = answer.files;
  Object.assign(limits, answer);
}

find("own-files").addEventListener("change", (event) => beginWithFiles(event.target));
find("own-folder").addEventListener("change", (event) => beginWithFiles(event.target));
find("follow").addEventListener("click", beginWithLink);
find("link").addEventListener("keydown", (event) => event.key === "Enter" && beginWithLink());
find("another").addEventListener("click", () => showStart());
find("back").addEventListener("click", () => {
  find("start").hidden = true;
  find("desk").hidden = false;
});
find("fresh").addEventListener("click", () => {
  draft.start = draft.files.map((file) => ({ ...file }));
  draft.newStart = true;
  keep();
  addresses.before = undefined;
  startFaulty = false;
  check();
});
addEventListener("online", () => draft && check());

await fetchStart();
service.packs().then(({ answer }) => {
  builtIn = answer?.packs.map(({ id }) => id) ?? builtIn;
  if (draft) take.draw();
});
const asked = new URLSearchParams(location.search).get("pack");
const resumed = drafts.open(location.hash.slice(1));
if (resumed) openDraft(resumed);
else if (asked) await beginWith(asked);
else await showStart();
