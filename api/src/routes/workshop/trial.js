// One matchup by the pack as it is now and by the pack as it was at the start, side by side.
import { choice, difference, element, labelled, pair, same } from "/workshop/page.js";
import { ask, gone, names } from "/workshop/service.js";

// The figures of an answer, those that lead first: what each is called, its value, and whether it is a chance.
function figures({ destroyed, points, models, health_lost: health, structure, through, backfires, statuses, aftermath }) {
  const all = [["destroyed", "Destroyed", destroyed.chance, true], ["removed", "Points destroyed", points.removed]];
  const mean = (id, name, summary) => summary && all.push([id, name, summary.expected]);
  mean("models", "Models lost", models);
  mean("health", "Health lost", health);
  mean("structure", "Structure lost", structure);
  mean("through", "Hits that get through", through);
  mean("backfires", "Backfires", backfires);
  for (const [name, { chance }] of Object.entries(statuses ?? {})) all.push([`status ${name}`, `Mark: ${name}`, chance, true]);
  for (const [name, { chance }] of Object.entries(aftermath ?? {})) all.push([`effect ${name}`, `Afterwards: ${name}`, chance, true]);
  all.push(["cost", "Attacker's points", points.cost], ["target", "Target's points", points.target]);
  return new Map(all.map(([id, name, value, isChance]) => [id, { name, value, isChance: isChance === true }]));
}

// The rolls of an answer by weapon and step, without the reasons.
function rolls({ chain }) {
  const found = new Map();
  const plain = (value) => (value === null || typeof value !== "object" ? value : JSON.stringify(value, (key, inner) => (key === "because" ? undefined : inner)));
  const note = (where, part, left) => {
    const fields = Object.entries(part).filter(([key]) => !["because", "label", "name", ...left].includes(key));
    found.set(where, new Map(fields.map(([key, value]) => [key, plain(value)])));
  };
  for (const volley of chain.volleys ?? [chain]) {
    const weapon = volley.label ?? "attack";
    note(weapon, volley, ["steps", "volleys", "target", "aftermath"]);
    for (const step of volley.steps ?? []) note(`${weapon}, ${step.name}`, step, []);
  }
  note("the target", chain.target, []);
  return found;
}

function changes(before, now) {
  const said = [];
  const [old, fresh] = [rolls(before), rolls(now)];
  for (const [where, fields] of fresh) {
    const was = old.get(where);
    if (!was) {
      said.push(`${where}: new`);
      continue;
    }
    for (const key of new Set([...fields.keys(), ...was.keys()])) {
      const [one, other] = [was.get(key), fields.get(key)];
      if (one === other) continue;
      const shown = (value) => (value === undefined ? "nothing" : value === true ? "yes" : value === false ? "no" : String(value).replace(/[{}"[\]]/g, "").replaceAll(":", " ").replaceAll(",", ", "));
      said.push(`${where}: ${key.replaceAll("_", " ")} ${shown(other)}, before: ${shown(one)}`);
    }
  }
  for (const where of old.keys()) if (!fresh.has(where)) said.push(`${where}: no longer there`);
  const acted = (answer) => new Set(answer.rules.acted.map(({ rule }) => rule));
  const [then, since] = [acted(before), acted(now)];
  for (const rule of since) if (!then.has(rule)) said.push(`${rule} applies now.`);
  for (const rule of then) if (!since.has(rule)) said.push(`${rule} no longer applies.`);
  return said;
}

// How long after a failure it is tried again.
const AGAIN = 3000;
const passing = ({ away, problem }) => away || problem?.status === 429 || problem?.status >= 500;

export class Trial {
  // `renew` sends both packs again, where the service does not keep them any more; `keep` keeps what was chosen.
  constructor(where, { renew, keep }) {
    Object.assign(this, { renew, keep, asked: {}, round: 0, known: new Map(), drawn: "" });
    this.controls = element("div", { class: "fields" });
    this.result = element("div", { id: "trial-result", "aria-live": "polite" });
    where.replaceChildren(this.controls, this.result);
  }

  // Another pack, or what was chosen for this one before.
  begin(asked) {
    this.asked = asked ?? {};
    this.drawn = "";
    this.before = this.now = undefined;
    this.say("As soon as the pack has no mistakes, one of its matchups is worked out here.");
  }

  say(text) {
    this.result.replaceChildren(element("p", {}, text));
  }

  async update(before, now) {
    [this.before, this.now] = [before, now];
    const round = (this.round += 1);
    let told = this.known.get(now);
    if (!told) {
      told = await names(now);
      if (round !== this.round) return;
      if (gone(told.problem)) return this.renew();
      if (!told.answer) return this.failed(told, () => this.update(before, now));
      this.known.clear();
      this.known.set(now, told);
    }
    this.draw(told.answer);
    await this.work();
  }

  draw(pack) {
    const drawn = JSON.stringify([pack.units, pack.arcs, pack.ranges, pack.cover, pack.situation]);
    if (drawn === this.drawn) return;
    this.drawn = drawn;
    if (!pack.units.length) {
      this.controls.replaceChildren();
      return;
    }
    const { asked } = this;
    const units = pack.units.map(({ id, name }) => ({ id, name }));
    const known = (id) => units.some((unit) => unit.id === id);
    if (!known(asked.attacker)) asked.attacker = units[0].id;
    if (!known(asked.target)) asked.target = (units[1] ?? units[0]).id;
    const chosen = (key, list) => {
      const select = choice(list, asked[key]);
      select.addEventListener("change", () => {
        if (options[key]) asked[`${key}Options`] = [];
        this.choose(key, select.value);
        if (options[key]) take(key);
      });
      return select;
    };
    // What the chosen unit may take, each ticked once at most.
    const options = { attacker: element("div", { class: "wide" }), target: element("div", { class: "wide" }) };
    const take = (key) => {
      const all = pack.units.find(({ id }) => id === asked[key]).options ?? [];
      const has = (asked[`${key}Options`] ?? []).filter((id) => all.some((option) => option.id === id));
      asked[`${key}Options`] = has;
      const boxes = all.map(({ id, name }) => {
        const box = element("input", { type: "checkbox" });
        box.checked = has.includes(id);
        box.addEventListener("change", () => {
          const others = asked[`${key}Options`].filter((other) => other !== id);
          this.choose(`${key}Options`, box.checked ? [...others, id] : others);
        });
        return element("label", { class: "tick" }, box, ` ${name}`);
      });
      const made = all.length ? [element("details", { open: has.length > 0 }, element("summary", {}, `Options of the ${key}`), element("div", { class: "ticks" }, ...boxes))] : [];
      options[key].replaceChildren(...made);
    };
    const models = (key) => {
      const input = element("input", { inputmode: "numeric", autocomplete: "off", value: asked[key] ?? "", placeholder: "its fewest" });
      input.addEventListener("input", () => this.choose(key, input.value.trim()));
      return input;
    };
    const made = [
      labelled("Attacker", chosen("attacker", units)), labelled("Its models", models("attackers")),
      labelled("Target", chosen("target", units)), labelled("Models of the target", models("targets")),
    ];
    for (const [key, label, list] of [["arc", "Arc", pack.arcs], ["range", "Range", pack.ranges], ["cover", "Cover", pack.cover]]) {
      if (!list.some(({ id }) => id === asked[key])) asked[key] = list.find(({ usual }) => usual)?.id ?? list[0]?.id;
      if (list.length > 1) made.push(labelled(label, chosen(key, list)));
    }
    const flags = pack.situation.map(({ id, name }) => {
      const box = element("input", { type: "checkbox" });
      box.checked = asked.flags?.includes(id) ?? false;
      box.addEventListener("change", () => {
        const others = (asked.flags ?? []).filter((flag) => flag !== id);
        this.choose("flags", box.checked ? [...others, id] : others);
      });
      return element("label", { class: "tick" }, box, ` ${id === "moved" ? "the attacker moved" : name}`);
    });
    asked.flags = (asked.flags ?? []).filter((flag) => pack.situation.some(({ id }) => id === flag));
    made.push(element("div", { class: "ticks wide", role: "group", "aria-label": "What else is so" }, ...flags));
    this.controls.replaceChildren(...made, options.attacker, options.target);
    take("attacker");
    take("target");
  }

  choose(key, value) {
    this.asked[key] = value;
    this.keep(this.asked);
    this.round += 1;
    this.work();
  }

  request(pack) {
    const { attacker, attackers, attackerOptions, target, targets, targetOptions, arc, range, cover, flags } = this.asked;
    const side = (unit, models, options) => ({ unit, ...(models && { models: Number(models) }), ...(options?.length && { options }) });
    const situation = { ...(arc && { arc }), ...(range && { range }), ...(cover && { cover }) };
    for (const flag of flags ?? []) situation[flag] = true;
    return { pack, attacker: side(attacker, attackers, attackerOptions), target: side(target, targets, targetOptions), situation };
  }

  async work() {
    const round = this.round;
    if (!this.now || !this.asked.attacker) return;
    const wrong = [this.asked.attackers, this.asked.targets].find((models) => models && !/^[1-9]\d{0,3}$/.test(models));
    if (wrong !== undefined) return this.say(`“${wrong}” is no number of models.`);
    const both = [this.before, this.now].map((pack) => (pack ? ask("/v1/matchup", this.request(pack)) : { problem: { detail: "it has mistakes, so there is nothing to compare with." } }));
    const [before, now] = await Promise.all(both);
    if (round !== this.round) return undefined;
    if (gone(before.problem) || gone(now.problem)) return this.renew();
    const late = [before, now].find(passing);
    if (late) return this.failed(late, () => this.work());
    if (!now.answer) return this.say(now.problem.detail);
    this.show(before, now.answer);
    return undefined;
  }

  // What will pass is tried again, unless something else is asked meanwhile.
  failed(told, again) {
    this.say(told.problem?.detail ?? "");
    const round = this.round;
    if (passing(told)) setTimeout(() => round === this.round && again(), Math.max(AGAIN, (told.problem.wait ?? 0) * 1000));
  }

  show(before, now) {
    const was = before.answer ? figures(before.answer) : new Map();
    const is = figures(now);
    const read = now.defaults.length ? ` Assumed: ${now.defaults.map(({ text }) => text).join("; ")}.` : "";
    const parts = [];
    const lead = [was.get("destroyed"), is.get("destroyed")];
    const [then, since] = pair(lead[0]?.value, lead[1].value, true);
    const name = now.chain.target.label ?? "target";
    const what = `Chance that the attack leaves nothing of the target (${name})`;
    if (!before.answer) parts.push(element("p", { class: "headline" }, `${what}: ${since}.`), element("p", { class: "note" }, `By the pack as it was at the start: ${before.problem.detail}`));
    else if (same(lead[0].value, lead[1].value)) parts.push(element("p", { class: "headline" }, `${what}: ${since}, as before.`));
    else parts.push(element("p", { class: "headline" }, `${what}: ${since}; before, ${then}.`));
    const head = ["", "Before", "Now", "Difference"].map((text, at) => element("th", { scope: "col", class: at ? "number" : false }, text || "Figure"));
    const rows = [...new Set([...is.keys(), ...was.keys()])].map((id) => {
      const [one, other] = [was.get(id), is.get(id)];
      const { name: said, isChance } = other ?? one;
      const [left, right] = pair(one?.value, other?.value, isChance);
      const differs = one && other ? difference(one.value, other.value, isChance) : "";
      return element("tr", { class: one && other && !same(one.value, other.value) ? "differs" : false, "data-figure": id },
        element("th", { scope: "row" }, said), ...[left ?? "–", right ?? "–", differs].map((text) => element("td", { class: "number" }, text)));
    });
    parts.push(element("table", {}, element("caption", {}, "Means and chances of one attack; pp: percentage points"), element("thead", {}, element("tr", {}, ...head)), element("tbody", {}, ...rows)));
    if (before.answer) {
      const said = changes(before.answer, now);
      parts.push(element("h3", {}, "What differs"), said.length ? element("ul", {}, ...said.map((text) => element("li", {}, text))) : element("p", {}, "Nothing that this matchup rolls or counts."));
    }
    if (read) parts.push(element("p", { class: "note" }, read.trim()));
    this.result.replaceChildren(...parts);
  }
}
