// The page's line to the room: joining, saying, and coming back with nothing lost.
import { element, slip } from "/card.js";
import { Ledger } from "/line.js";
import { Words } from "/words.js";
import { Picker } from "/pick.js";
import { Browser, ruleRows, unitRows } from "/browse.js";

const SILENCE = 60000;
const SOONEST = 500;
const LATEST = 8000;

const find = (id) => document.getElementById(id);
const kept = {
  get: (name) => { try { return sessionStorage.getItem(name); } catch { return null; } },
  set: (name, value) => { try { sessionStorage.setItem(name, value); } catch { /* a page without storage joins anew */ } },
};

const me = { name: "", phrase: kept.get("phrase"), seat: kept.get("seat") ?? seat(), key: 0 };
const seen = { sitting: null, number: 0 };
// What was written and not yet seen in the ledger, by key.
const unsent = new Map();
let socket = null;
let pause = SOONEST;
let watch = 0;
let again = 0;
let seated = false;
// Whether the line came back just now, and whether the table is entered for the first time.
let away = false;
let entered = true;

function seat() {
  const made = [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  kept.set("seat", made);
  return made;
}

const field = find("say");
const ledger = new Ledger(document, (says, about, sitting, link = null) => say(says, sitting === seen.sitting ? about : null, link));
const words = new Words(document, field, (key, text) => send({ kind: "complete", key, text }), hear);

// What can be tapped.
const picker = new Picker(find("picker"), (says, link) => say(says, null, link));
const units = new Browser(find("units"), "Find a unit", (names) => names.units, unitRows((says) => say(says, null), (seat, id) => { picker.put(seat, id); view("start"); }));
const rules = new Browser(find("rules"), "Find a rule", (names) => names.rules, ruleRows((says) => say(says, null)));
let asking = 0;

function view(name) {
  for (const one of ["start", "units", "rules", "ledger"]) find(one).hidden = one !== (name === "answers" ? "ledger" : name);
  for (const button of find("views").children) button.setAttribute("aria-pressed", String(button.dataset.view === name));
  if (name === "answers") ledger.toEnd();
}
find("views").addEventListener("click", (event) => {
  const name = event.target.dataset?.view;
  if (name) view(name);
});

function ask(says) {
  return element("button", { type: "button", onclick: () => say(says, null) }, says);
}

function named(names) {
  find("pack-name").textContent = names.name;
  find("pack-about").textContent = names.about;
  const pack = (one) => element("button", { type: "button", class: "chip", "aria-pressed": String(one.id === names.pack), onclick: () => say(`/pack ${one.name}`, null) }, one.name);
  find("packs").replaceChildren(...(names.packs.length > 1 ? names.packs.map(pack) : []));
  find("examples").replaceChildren(...names.examples.map(ask));
  ledger.named(names);
  for (const list of [picker, units, rules]) list.show(names);
}

// For those who listen to the page.
function hear(text) {
  find("heard").textContent = text;
}

function send(frame) {
  if (socket?.readyState !== WebSocket.OPEN || (!seated && frame.kind !== "join")) return false;
  socket.send(JSON.stringify(frame));
  return true;
}

function open() {
  clearTimeout(again);
  socket?.close();
  const line = new WebSocket(`${location.protocol === "https:" ? "wss" : "ws"}://${location.host}/seat`);
  socket = line;
  line.addEventListener("open", () => {
    const join = { kind: "join", name: me.name, seat: me.seat };
    if (me.phrase) join.phrase = me.phrase;
    if (seen.sitting !== null) Object.assign(join, { sitting: seen.sitting, seen: seen.number });
    send(join);
  });
  line.addEventListener("message", (event) => { if (line === socket) { alive(); told(JSON.parse(event.data)); } });
  line.addEventListener("close", (event) => { if (line === socket) closed(event); });
  alive();
}

// A line on which nothing is heard for too long is dead, even where nobody said so.
function alive() {
  clearTimeout(watch);
  watch = setTimeout(() => { socket?.close(); closed({}); }, SILENCE);
}

function closed(event) {
  clearTimeout(watch);
  socket = null;
  seated = false;
  document.body.classList.add("away");
  if (me.name === "") return;
  if (event.reason === "joined from elsewhere" || event.reason === "too many messages") {
    find("state").textContent = `This page has left the table: ${event.reason}. Load it again to come back.`;
    return;
  }
  find("state").textContent = "The line to the room is down. Trying again; what you write is kept.";
  again = setTimeout(open, pause * (0.75 + Math.random() / 2));
  pause = Math.min(pause * 2, LATEST);
}

const tells = {
  welcome(told) {
    seated = true;
    pause = SOONEST;
    Object.assign(me, { name: told.name, key: Math.max(me.key, told.key) });
    kept.set("name", me.name);
    if (me.phrase) kept.set("phrase", me.phrase);
    if (told.missed) ledger.note("Some lines are missing here: they came while the line was down.");
    away = seen.sitting !== null;
    asking += 1;
    send({ kind: "names", key: asking });
    if (seen.sitting !== null && seen.sitting !== told.sitting) ledger.note("The room was opened anew; line 1 follows.");
    if (seen.sitting !== told.sitting) Object.assign(seen, { sitting: told.sitting, number: 0 });
    find("join").hidden = true;
    const entering = find("table").hidden;
    find("table").hidden = false;
    if (entering) view("start");
    document.body.classList.remove("away");
    // A finger finds the first screen, a keyboard the field.
    if (entering && matchMedia("(pointer: fine)").matches) field.focus();
    for (const [key, what] of unsent) if (key > told.key) send({ kind: "say", key, ...what });
  },
  turned(told) {
    Object.assign(me, { name: "" });
    find("table").hidden = true;
    find("join").hidden = false;
    find("turned").textContent = told.text;
    if (told.what === "phrase") find("phrase-row").hidden = false;
    find(told.what === "phrase" ? "phrase" : "name").focus();
  },
  lines({ lines }) {
    const old = seen.number === 0;
    const fresh = lines.filter((line) => line.number > seen.number);
    if (!fresh.length) return;
    if (away && fresh.length) ledger.note(missed(fresh));
    away = false;
    ledger.write(fresh, seen.sitting);
    if (fresh.some((line) => line.card?.pack)) {
      asking += 1;
      send({ kind: "names", key: asking });
    }
    // The answer to one's own question is looked at; what others ask does not take the page away.
    const idle = !find("start").hidden && !picker.begun();
    if (!old && fresh.some((line) => line.card && (idle || line.asked_by === me.name))) view("answers");
    else if (old && entered) view(fresh.some((line) => line.card) ? "answers" : "start");
    entered = false;
    seen.number = fresh.at(-1).number;
    for (const line of fresh.filter((line) => !line.card && line.who === me.name)) {
      if (unsent.delete(line.key)) ledger.waits(`${seen.sitting}-${line.number}`, true);
    }
    for (const line of fresh.filter((line) => line.card)) ledger.waits(`${seen.sitting}-${line.to}`, false);
    const last = fresh.at(-1);
    if (old) hear(`${fresh.length} lines so far.`);
    else hear(last.card ? `Answer for ${last.asked_by}: ${last.card.headline}` : `${last.who}: ${last.text}`);
  },
  aside({ to, quiet, card }) {
    ledger.waits(`${seen.sitting}-${to}`, false);
    if (quiet) {
      find("hint").textContent = `Line ${to} was not read as a question. /help says what can be asked.`;
      return;
    }
    const away = element("button", { type: "button", class: "away", onclick: clear }, "Put away");
    const made = slip(card, "aside-head", (says) => say(says, null));
    made.prepend(element("p", { class: "whose" }, `only you see this, about line ${to}`));
    made.append(away);
    find("aside").replaceChildren(made);
    hear([card.headline, ...card.text].join(" "));
  },
  refused({ key, text }) {
    const what = unsent.get(key);
    unsent.delete(key);
    find("hint").textContent = text;
    if (what && !field.value) field.value = what.text;
  },
  complete: (told) => words.show(told),
  names: ({ key, names }) => { if (key === asking) named(names); },
  here({ people }) {
    if (seated) find("state").textContent = `${me.name}, ${people === 1 ? "you are alone here" : `${people} are here`}.`;
  },
};

function told(frame) {
  tells[frame.kind]?.(frame);
}

// What came while the line was down, in a sentence.
function missed(lines) {
  const answers = lines.filter((line) => line.card);
  const count = (number, what) => `${number} ${what}${number === 1 ? "" : "s"}`;
  const last = answers.at(-1);
  return `While the line was down: ${count(lines.length, "line")}, ${count(answers.length, "answer")}${last ? `; the last: ${last.card.headline}` : ""}`;
}

function clear() {
  find("aside").replaceChildren();
  find("hint").textContent = "";
  field.focus();
}

function say(text, about, link = null) {
  const what = { text };
  if (about !== null) what.about = about;
  if (link !== null) what.link = link;
  view("answers");
  me.key += 1;
  unsent.set(me.key, what);
  find("aside").replaceChildren();
  find("hint").textContent = "";
  words.forget();
  if (!send({ kind: "say", key: me.key, ...what })) find("hint").textContent = "Kept until the line is back.";
  ledger.toEnd();
}

find("ask").addEventListener("submit", (event) => {
  event.preventDefault();
  const text = field.value.trim();
  if (!text) return;
  field.value = "";
  fit();
  // Opened here: every answer carries its steps.
  if (/^(show (me )?(the )?)?steps$/i.test(text)) {
    view("answers");
    if (ledger.steps()) return;
  }
  say(text, null);
});

field.addEventListener("keydown", (event) => {
  if (words.pressed(event)) return;
  if (event.key === "Enter" && !event.shiftKey && !event.isComposing) {
    event.preventDefault();
    find("ask").requestSubmit();
  }
});

// As high as what is in it, up to six lines.
function fit() {
  field.rows = Math.min(6, field.value.split("\n").length);
}
field.addEventListener("input", fit);

find("join").addEventListener("submit", (event) => {
  event.preventDefault();
  me.name = find("name").value.trim();
  me.phrase = find("phrase").value.trim() || me.phrase;
  find("turned").textContent = "";
  open();
});

// A phone that wakes up does not wait for its turn.
addEventListener("online", () => { if (!socket && me.name) open(); });
document.addEventListener("visibilitychange", () => { if (!document.hidden && !socket && me.name) open(); });

// The page opens where the network is gone, where the browser allows that: on this machine, or behind TLS.
navigator.serviceWorker?.register("/shell.js").catch(() => { /* then it opens with the network only */ });

find("name").value = kept.get("name") ?? "";
find("name").focus();
if (find("name").value) find("join").requestSubmit();
