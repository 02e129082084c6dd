// The lines of the ledger: number and time in the margin, then who said what, or the slip of an answer.
import { element, slip } from "/card.js";

const MOST = 400;

export class Ledger {
  constructor(page, ask) {
    this.page = page;
    this.ask = ask;
    this.lines = page.querySelector("#lines");
    this.box = page.querySelector("#ledger");
    this.newer = page.querySelector("#newer");
    this.newer.addEventListener("click", () => this.toEnd());
    this.follows = true;
    this.box.addEventListener("scroll", () => {
      this.follows = this.atEnd();
      if (this.follows) this.newer.hidden = true;
    });
    // A keyboard that comes up or a hint below takes room from the ledger: its end stays in sight.
    new ResizeObserver(() => { if (this.follows) this.toEnd(); }).observe(this.box);
  }

  atEnd() {
    return this.box.scrollHeight - this.box.scrollTop - this.box.clientHeight < 80;
  }

  toEnd() {
    this.box.scrollTop = this.box.scrollHeight;
    this.follows = true;
    this.newer.hidden = true;
  }

  // Writes lines at the end; whoever reads further up is not moved.
  write(lines, sitting) {
    for (const line of lines) this.lines.append(line.card ? this.answer(line, sitting) : this.said(line, sitting));
    while (this.lines.children.length > MOST) this.lines.firstElementChild.remove();
    if (this.follows) this.toEnd();
    else this.newer.hidden = false;
  }

  // A note of the page's own between the lines.
  note(text) {
    this.lines.append(element("li", { class: "line between" }, text));
  }

  margin(line) {
    const at = new Date(line.at);
    const clock = at.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
    return element("span", { class: "margin" },
      element("span", { class: "number" }, `${line.number}`),
      element("time", { datetime: at.toISOString() }, clock));
  }

  said(line, sitting) {
    const text = element("span", { class: "words", dir: "auto" }, line.text);
    return element("li", { class: "line said", "data-line": `${sitting}-${line.number}` }, this.margin(line),
      element("p", {}, element("bdi", { class: "who" }, line.who), " ", text));
  }

  answer(line, sitting) {
    const made = slip(line.card, `head-${sitting}-${line.number}`, (says) => this.ask(says, line.number, sitting));
    const whose = element("p", { class: "whose" }, "for ", element("bdi", {}, line.asked_by), `, line ${line.to}`);
    made.prepend(whose);
    this.waits(`${sitting}-${line.to}`, false);
    return element("li", { class: "line answered" }, this.margin(line), made);
  }

  // Whether the answer to a line is still being worked out.
  waits(line, does) {
    this.lines.querySelector(`[data-line="${line}"]`)?.classList.toggle("waits", does);
  }
}
