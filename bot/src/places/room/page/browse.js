// The lists of units and of rules: found as one types, asked about with a tap.
import { element } from "/card.js";

export class Browser {
  // `rows(names)` gives what is listed; `row(one)` draws a line of it.
  constructor(box, label, rows, row) {
    this.rows = rows;
    this.row = row;
    this.list = element("ul", { class: "found" });
    this.count = element("p", { class: "pale", role: "status" });
    this.field = element("input", { type: "search", "aria-label": label, placeholder: label, autocomplete: "off" });
    this.field.addEventListener("input", () => this.fill());
    box.replaceChildren(this.field, this.count, this.list);
  }

  show(names) {
    this.names = names;
    this.fill();
  }

  fill() {
    if (!this.names) return;
    const words = this.field.value.toLowerCase().split(/\s+/).filter(Boolean);
    const fits = (one) => words.every((word) => `${one.name} ${one.role ?? ""}`.toLowerCase().includes(word));
    const found = this.rows(this.names).filter(fits);
    this.count.textContent = `${found.length} of ${this.rows(this.names).length}`;
    this.list.replaceChildren(...found.slice(0, 200).map((one) => element("li", {}, ...this.row(one))));
  }
}

const button = (label, act, name) => element("button", { type: "button", class: "chip", onclick: act, "aria-label": name ?? label }, label);

export function unitRows(ask, put) {
  return (unit) => [
    element("span", { class: "name", dir: "auto" }, unit.name, element("span", { class: "pale" }, ` ${unit.role}, ${unit.points} points`)),
    element("span", { class: "ways" },
      button("profile", () => ask(`/unit ${unit.name}`), `profile of ${unit.name}`),
      button("review", () => ask(`/appraise ${unit.name}`), `review of ${unit.name}`),
      unit.armed ? button("attacks", () => put("attacker", unit.id), `${unit.name} attacks`) : null,
      button("is hit", () => put("target", unit.id), `${unit.name} is attacked`)),
  ];
}

export function ruleRows(ask) {
  return (rule) => [element("span", { class: "name", dir: "auto" }, rule.name), element("span", { class: "ways" }, button("what it says", () => ask(`/rule ${rule.name}`), `what ${rule.name} says`))];
}
