// Units and weapons as fields. A field changes its one value in the text and nothing else; what the text says stands in it.
import { afterPause, choice, element, labelled, several } from "/workshop/page.js";
import { addTo, another, book, first, idFrom, listed, literal, set, takeFrom } from "/workshop/toml.js";

const SORTS = {
  unit: { many: "units", one: "unit", title: "Units" },
  weapon: { many: "weapons", one: "weapon", title: "Weapons" },
};
// The fields that each sort has besides its stats; `text` is never taken for a number.
const FIELDS = {
  unit: [
    { path: ["label"], name: "Name", text: true },
    { path: ["kind"], name: "Kind", among: "kinds" },
    { path: ["role"], name: "Role", among: "roles" },
    { path: ["points"], name: "Points" },
    { path: ["each_more"], name: "Each more model" },
    { path: ["models"], name: "Models", models: true },
    { path: ["models", "least"], name: "Fewest models", models: true },
    { path: ["models", "most"], name: "Most models", models: true },
  ],
  weapon: [
    { path: ["label"], name: "Name", text: true },
    { path: ["reach"], name: "Reach" },
    { path: ["least_reach"], name: "Least reach" },
  ],
};

export class Form {
  // `text` is the editor, `files()` names the files that are text, in order.
  constructor(where, text, files) {
    Object.assign(this, { where, text, files, sort: "unit", chosen: { unit: undefined, weapon: undefined }, inputs: new Map(), drawn: "" });
    this.later = afterPause(200, () => this.draw());
    this.follow = afterPause(200, (file, offset) => this.goTo(file, offset));
  }

  read() {
    return book(this.files().map((name) => ({ name, text: this.text.text(name) })));
  }

  entry(from = this.read()) {
    const list = from[SORTS[this.sort].many];
    return list.find(({ key }) => key === this.chosen[this.sort]) ?? list[0];
  }

  // The form goes to what is edited in the text.
  goTo(file, offset) {
    const from = this.read();
    for (const sort of Object.keys(SORTS)) {
      const found = from[SORTS[sort].many].find((entry) => entry.file === file && entry.at <= offset && offset <= entry.to);
      if (found?.id && (sort !== this.sort || found.key !== this.chosen[sort])) {
        [this.sort, this.chosen[sort]] = [sort, found.key];
        this.draw(from);
      }
    }
  }

  choose(sort, key) {
    this.follow.stop();
    this.sort = sort;
    if (key !== undefined) this.chosen[sort] = key;
    const from = this.read();
    this.draw(from);
    const entry = this.entry(from);
    if (entry) this.text.reveal(entry.file, entry.at);
  }

  fieldsOf(entry, from) {
    const there = (path) => entry.values.get(path.join("."));
    const fields = FIELDS[this.sort].filter(({ path, models }) => !models || there(path)?.value);
    const stats = [];
    const kind = there(["kind"])?.value?.value;
    for (const stat of from.stats[this.sort]) {
      // Some stats are for some kinds of unit only.
      if (kind && stat.kinds && !stat.kinds.includes(kind) && !there(["stats", stat.id])) continue;
      const parts = [...entry.values].filter(([key, { value }]) => value && key.startsWith(`stats.${stat.id}.`)).map(([key]) => key.split(".").slice(2));
      const shape = parts.length ? parts : [[]];
      for (const part of shape) stats.push({ path: ["stats", stat.id, ...part], name: [stat.label, ...part].join(" "), stat });
    }
    // Stats of a pack beneath, which is not among the files.
    for (const [key, { value }] of entry.values) {
      const path = key.split(".");
      if (value && path[0] === "stats" && path.length > 1 && !from.stats[this.sort].some(({ id }) => id === path[1])) stats.push({ path, name: path.slice(1).join(" ") });
    }
    return [...fields, ...stats];
  }

  draw(from = this.read()) {
    this.later.stop();
    const sort = SORTS[this.sort];
    const list = from[sort.many];
    const entry = this.entry(from);
    const fields = entry ? this.fieldsOf(entry, from) : [];
    const drawn = JSON.stringify([this.sort, entry?.key, list.map(({ key }) => key), from.unread, fields.map(({ path }) => path), from.weapons.map(({ id }) => id), from.rules.map(({ id }) => id), from.kinds.map(({ id }) => id), from.roles.map(({ id }) => id)]);
    // As long as the fields are the same ones, only what stands in them changes: who is typing in one goes on.
    if (drawn !== this.drawn) this.build(from, list, entry, fields);
    this.drawn = drawn;
    this.fill(list, entry, fields);
  }

  build(from, list, entry, fields) {
    const sort = SORTS[this.sort];
    const had = document.activeElement?.dataset?.path;
    this.inputs.clear();
    const sorts = Object.entries(SORTS).map(([id, { title }]) => element("button", { type: "button", "aria-pressed": String(id === this.sort), onclick: () => this.choose(id) }, title));
    const pick = this.pick = choice(list.map(({ key, name }) => ({ id: key, name })), entry?.key);
    pick.addEventListener("change", () => this.choose(this.sort, pick.value));
    const parts = [element("div", { class: "row", role: "group", "aria-label": "What is changed" }, ...sorts)];
    if (from.unread.length) parts.push(element("p", { class: "note" }, `${from.unread.join(", ")} can't be read as it stands, or is too long for fields. Its units and weapons are here once the text is mended.`));
    if (entry) {
      parts.push(labelled(`Which ${sort.one}`, pick), element("div", { class: "fields" }, ...fields.map((field) => this.field(field, from))));
      if (this.sort === "unit") parts.push(this.list("weapons", "Weapons", from.weapons));
      parts.push(this.list("rules", "Rules", from.rules));
    } else if (!from.unread.length) parts.push(element("p", {}, `There is no ${sort.one} in these files yet.`));
    parts.push(this.adder(from, entry));
    this.where.replaceChildren(...parts);
    if (had) this.inputs.get(had)?.focus();
  }

  field({ path, name, among, text, stat }, from) {
    const key = path.join(".");
    const words = among ? from[among].map(({ id, name: said }) => ({ id, name: said })) : stat?.holds === "word" ? (stat.words ?? []).map((id) => ({ id, name: id })) : [];
    const input = words.length ? choice([{ id: "", name: "–" }, ...words]) : element("input", { autocomplete: "off", spellcheck: "false", inputmode: text || stat ? undefined : "numeric" });
    input.dataset.path = key;
    const isText = text || among || stat?.holds === "needs" || stat?.holds === "word";
    const isWhole = !isText && (!stat || stat.holds === "number");
    input.addEventListener(words.length ? "change" : "input", () => {
      const said = input.value.trim();
      const wrong = said === "" ? "An empty field changes nothing: to leave it out, delete it in the text." : isWhole && !/^[+-]?\d+$/.test(said) ? "This is a whole number." : "";
      this.complain(input, wrong);
      if (!wrong) this.change((source, entry) => set(source, entry, path, literal(input.value, isText)));
    });
    input.addEventListener("blur", () => this.draw());
    this.inputs.set(key, input);
    const box = labelled(name, input, stat?.text);
    box.append(element("span", { class: "wrong", id: `${input.id}-wrong` }));
    return box;
  }

  complain(input, wrong) {
    const said = document.getElementById(`${input.id}-wrong`);
    if (said) said.textContent = wrong;
    if (wrong) input.setAttribute("aria-invalid", "true");
    else input.removeAttribute("aria-invalid");
  }

  list(key, title, all) {
    const boxes = element("div", { class: "ticks" });
    const summary = element("summary", {}, title);
    for (const { id, name } of all.filter(({ id }) => id)) {
      const box = element("input", { type: "checkbox" });
      box.addEventListener("change", () => this.change((source, entry) => (box.checked ? addTo : takeFrom)(source, entry, key, id)));
      this.inputs.set(`${key}/${id}`, box);
      box.dataset.path = `${key}/${id}`;
      boxes.append(element("label", { class: "tick" }, box, ` ${name}`));
    }
    return element("details", { open: key === "weapons" }, summary, boxes);
  }

  fill(list, entry, fields) {
    if (!entry) return;
    list.forEach(({ name }, at) => { this.pick.options[at].textContent = name; });
    this.button.textContent = `Add a ${SORTS[this.sort].one} like ${entry.name}`;
    for (const { path } of fields) {
      const key = path.join(".");
      const input = this.inputs.get(key);
      if (!input || input === document.activeElement) continue;
      const value = entry.values.get(key)?.value;
      const said = value?.type === "TOMLValue" ? String(value.value) : "";
      if (input.tagName === "SELECT" && said && ![...input.options].some((option) => option.value === said)) input.append(element("option", { value: said }, said));
      input.value = said;
      // What is written as a list or in pieces is for the text.
      input.disabled = value !== undefined && value.type !== "TOMLValue";
      input.placeholder = input.disabled ? "in the text" : key === "label" && !said ? entry.id ?? "" : "";
      this.complain(input, "");
    }
    for (const key of ["weapons", "rules"]) {
      const has = listed(entry, key).map(({ id }) => id);
      for (const [path, box] of this.inputs) if (path.startsWith(`${key}/`)) box.checked = has.includes(path.slice(key.length + 1));
    }
  }

  adder(from, entry) {
    const { one, many } = SORTS[this.sort];
    const name = element("input", { autocomplete: "off", maxlength: "60" });
    const add = () => {
      const said = name.value.trim();
      if (!said) return name.focus();
      const now = this.read();
      const like = this.entry(now);
      const id = idFrom(said, now[many].map((known) => known.id));
      const file = like?.file ?? this.files().find((known) => /unit|book/i.test(known)) ?? this.files().at(-1);
      if (!now.parsed.has(file)) return undefined;
      const source = this.text.text(file);
      const change = like ? another(source, like, this.sort, said, id) : first(source, this.sort, said, id, now.stats[this.sort], now.kinds[0]?.id, now.roles[0]?.id);
      this.text.edit(file, change);
      this.choose(this.sort, id);
      return undefined;
    };
    name.addEventListener("keydown", (event) => event.key === "Enter" && add());
    this.button = element("button", { type: "button", onclick: add }, `Add a ${one}`);
    const note = `${several(from[many].length, one)} so far. A new one begins with the same numbers, at the end of the file.`;
    return element("div", { class: "adder" }, labelled(`Name of a new ${one}`, name, note), this.button);
  }

  change(make) {
    const entry = this.entry();
    if (!entry) return;
    const change = make(this.text.text(entry.file), entry);
    if (change) this.text.edit(entry.file, change);
  }
}
