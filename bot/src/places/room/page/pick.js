// Questions put together by taps: who attacks whom, from where. The same controls stand below an answer to change one thing.
import { element } from "/card.js";

const PATH = "/v1/matchup";

// A question of units on a table, as a permanent link has it; null where the link is another sort of question.
export function matchup(link) {
  const [path, query] = (link ?? "").split("?");
  if (path !== PATH || !query) return null;
  const asked = new URLSearchParams(query);
  return asked.get("attacker.unit") && asked.get("target.unit") ? asked : null;
}

const text = (asked) => `${PATH}?${asked}`;

// With one thing set, or taken out where it is set to nothing.
function changed(asked, changes) {
  const other = new URLSearchParams(asked);
  for (const [key, value] of Object.entries(changes)) {
    if (value === null) other.delete(key);
    else other.set(key, value);
  }
  return other;
}

function unit(names, id) {
  return names.units.find((known) => known.id === id) ?? { id, name: id.replaceAll("-", " "), least: 1, most: 60, armoured: true };
}

// As others read it in the ledger.
export function said(names, asked) {
  const side = (seat) => {
    const one = unit(names, asked.get(`${seat}.unit`));
    const models = asked.get(`${seat}.models`);
    return models ? `${models} ${one.name}` : one.name;
  };
  const name = (all, key) => all.find((word) => word.id === asked.get(key))?.name;
  const parts = [`${side("attacker")} v ${side("target")}`, name(names.arcs, "situation.arc"), name(names.ranges, "situation.range")];
  const cover = name(names.covers, "situation.cover");
  if (cover) parts.push(`in ${cover}`);
  for (const flag of names.flags) if (asked.get(`situation.${flag.id}`) === "true") parts.push(flag.name.toLowerCase());
  if (asked.get("target.left")) parts.push(`${asked.get("target.left")} left`);
  return parts.filter(Boolean).join(", ");
}

function chip(label, pressed, act) {
  return element("button", { type: "button", class: "chip", "aria-pressed": String(pressed), onclick: act }, label);
}

function group(label, ...inside) {
  return element("div", { class: "pick", role: "group", "aria-label": label }, element("span", { class: "what" }, label), ...inside);
}

// The hull from above: the first arc ahead, the last behind, those between on both sides.
function hull(names, chosen, act) {
  if (names.arcs.length < 2) return null;
  const between = names.arcs.slice(1, -1);
  const places = [["ahead", names.arcs[0]], ["behind", names.arcs.at(-1)]];
  if (between.length) places.push(["left", between[0]], ["right", between.at(-1)]);
  const side = ([place, arc], at) => {
    const made = chip(arc.name, arc.id === chosen, () => act(arc.id));
    made.classList.add(place);
    // The same side twice is one choice for those who hear the page.
    if (at === 3 && between.length === 1) { made.setAttribute("aria-hidden", "true"); made.tabIndex = -1; }
    return made;
  };
  const shape = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  shape.setAttribute("viewBox", "0 0 40 60");
  shape.setAttribute("aria-hidden", "true");
  const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
  path.setAttribute("d", "M6 18L20 3L34 18V57H6Z");
  shape.append(path);
  const more = names.arcs.length > 4 ? between.slice(1, -1).map((arc) => chip(arc.name, arc.id === chosen, () => act(arc.id))) : [];
  return element("div", { class: "hull", role: "group", "aria-label": "Side that is hit" }, shape, ...places.map(side), ...more);
}

// Fewer and more of something, with the number between.
function stepper(label, value, [least, most], act) {
  const number = Number(value);
  const step = (by, sign, words) => {
    const made = element("button", { type: "button", class: "chip step", "aria-label": `${words} ${label}`, onclick: () => act(Math.min(most, Math.max(least, number + by))) }, sign);
    made.disabled = number + by < least || number + by > most;
    return made;
  };
  return [step(-1, "\u2212", "one fewer"), element("output", {}, `${number}`), step(1, "+", "one more")];
}

// Everything about the table that can be set by a tap. `act` gets the question with that one thing changed.
function table(names, asked, act) {
  const set = (changes) => act(changed(asked, changes));
  const one = (label, key, all) => all.length > 1
    ? group(label, ...all.map((word) => chip(word.name, asked.get(key) === word.id, () => set({ [key]: word.id })))) : null;
  const target = unit(names, asked.get("target.unit"));
  const attacker = unit(names, asked.get("attacker.unit"));
  const flag = (flag) => {
    const on = asked.get(`situation.${flag.id}`) === "true";
    return chip(flag.name, on, () => set({ [`situation.${flag.id}`]: on ? null : "true" }));
  };
  const left = asked.get("target.left");
  const count = asked.get("attacker.models") ?? attacker.least;
  return [
    group("Attackers", ...stepper("attackers", count, [1, 60], (models) => set({ "attacker.models": models })),
      ...[2, 3, 5, 10].map((number) => chip(`${number}`, `${count}` === `${number}`, () => set({ "attacker.models": number })))),
    target.armoured ? hull(names, asked.get("situation.arc"), (arc) => set({ "situation.arc": arc })) : null,
    one("Range", "situation.range", names.ranges),
    one("Cover", "situation.cover", names.covers),
    names.flags.length ? group("Also", ...names.flags.map(flag)) : null,
    group("Left of it", chip("all", !left, () => set({ "target.left": null, "target.hurt": null })),
      ...[1, 2, 3, 5].map((number) => chip(`${number}`, left === `${number}`, () => set({ "target.left": number, "target.hurt": null })))),
  ].filter(Boolean);
}

// The controls below an answer: one tap asks again with one thing changed.
export function controls(names, link, ask) {
  const asked = matchup(link);
  if (!asked || !names) return null;
  const again = (other) => ask(said(names, other), text(other));
  const swap = () => {
    const other = changed(asked, { "target.left": null, "target.hurt": null });
    for (const key of ["unit", "models"]) {
      const [one, two] = [asked.get(`attacker.${key}`), asked.get(`target.${key}`)];
      for (const [place, value] of [["attacker", two], ["target", one]]) value ? other.set(`${place}.${key}`, value) : other.delete(`${place}.${key}`);
    }
    for (const key of [...other.keys()]) if (/^(attacker|target)\.(options|weapons|near)/.test(key)) other.delete(key);
    again(other);
  };
  const parts = table(names, asked, again);
  parts.push(group("Turn round", chip("swap sides", false, swap)));
  return element("div", { class: "controls", role: "group", "aria-label": "Change one thing" }, ...parts);
}

// The picker on the first screen.
export class Picker {
  constructor(box, ask) {
    this.box = box;
    this.ask = ask;
    this.asked = new URLSearchParams();
    this.seat = "attacker";
    this.filter = "";
  }

  show(names) {
    if (this.names?.pack !== names.pack) {
      this.asked = new URLSearchParams({ pack: names.pack });
      this.seat = "attacker";
    }
    this.names = names;
    this.draw();
  }

  begun() {
    return this.asked.has("attacker.unit") || this.asked.has("target.unit");
  }

  // Puts a unit into a seat, as the browser of units does.
  put(seat, id) {
    this.asked.set(`${seat}.unit`, id);
    this.asked.delete(`${seat}.models`);
    this.next();
    this.draw();
  }

  next() {
    this.filter = "";
    this.seat = ["attacker", "target"].find((seat) => !this.asked.get(`${seat}.unit`)) ?? null;
  }

  units(seat) {
    const { names } = this;
    const list = element("div", { class: "units" });
    const fill = () => {
      const fits = (one) => one.name.toLowerCase().includes(this.filter) && (seat === "target" || one.armed);
      list.replaceChildren(...names.units.filter(fits).map((one) => chip(one.name, false, () => this.put(seat, one.id))));
    };
    fill();
    const field = element("input", { type: "search", placeholder: "Find a unit", "aria-label": "Find a unit", autocomplete: "off" });
    field.addEventListener("input", () => { this.filter = field.value.trim().toLowerCase(); fill(); });
    return names.units.length > 12 ? [field, list] : [list];
  }

  side(seat, label) {
    const { names, asked } = this;
    const id = asked.get(`${seat}.unit`);
    const inside = [element("h3", {}, label)];
    if (this.seat === seat) return element("section", { class: "side open" }, ...inside, ...this.units(seat));
    if (!id) return element("section", { class: "side" }, ...inside, element("p", { class: "pale" }, "next"));
    const one = unit(names, id);
    inside.push(chip(`${one.name} \u25be`, true, () => { this.seat = seat; this.draw(); }));
    if (seat === "target" && one.most > 1) {
      const models = asked.get("target.models") ?? one.least;
      inside.push(group("Models", ...stepper("models", models, [1, 60], (models) => { asked.set("target.models", models); this.draw(); })));
    }
    return element("section", { class: "side" }, ...inside);
  }

  draw() {
    const { names, asked } = this;
    const ready = asked.get("attacker.unit") && asked.get("target.unit");
    const parts = [this.side("attacker", "Attacker"), this.side("target", "Target")];
    if (ready && !this.seat) {
      parts.push(element("section", { class: "side controls" }, ...table(names, asked, (other) => { this.asked = other; this.draw(); })));
      const go = element("button", { type: "button", class: "go", onclick: () => this.ask(said(names, asked), text(asked)) }, "Work it out");
      parts.push(element("p", { class: "act" }, go));
    }
    const held = document.activeElement?.textContent;
    this.box.replaceChildren(...parts);
    // Who works by keys stays on what was pressed.
    if (held) [...this.box.querySelectorAll("button")].find((button) => button.textContent === held)?.focus({ preventScroll: true });
  }
}
