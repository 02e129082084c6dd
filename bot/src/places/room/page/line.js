// The lines of the ledger: number and time in the margin, then who said what, or the slip of an answer.
import { element, slip } from "/card.js";
import { controls } from "/pick.js";

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
    this.names = null;
    // Answers that came before the names were known.
    this.bare = [];
    this.box.addEventListener("scroll", () => {
      this.follows = this.atEnd();
      if (this.follows) this.newer.hidden = true;
    });
    // A keyboard that comes up or a hint below takes room from the ledger: the newest headline stays in sight.
    new ResizeObserver(() => {
      // The last line fills the box, so that its head can stand at the top.
      this.lines.style.setProperty("--high", `${this.box.clientHeight}px`);
      if (this.follows) this.toEnd();
    }).observe(this.box);
  }

  // Where the newest line begins.
  newest() {
    return (this.lines.lastElementChild?.offsetTop ?? 0) - this.lines.offsetTop;
  }

  atEnd() {
    return this.box.scrollTop >= this.newest() - 80;
  }

  toEnd() {
    this.box.scrollTop = this.newest();
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

  // Opens the steps of the newest answer that has any; whether there is one.
  steps() {
    const all = [...this.lines.querySelectorAll("details")].filter((one) => one.querySelector("summary")?.textContent === "Steps");
    const last = all.at(-1);
    if (!last) return false;
    last.open = true;
    last.scrollIntoView({ block: "nearest" });
    return true;
  }

  // Gives the answers that came before the names were known their controls.
  named(names) {
    this.names = names;
    for (const [title, line, sitting] of this.bare.splice(0)) {
      const made = this.controls(line, sitting);
      const head = this.page.getElementById(title);
      if (!made || !head) continue;
      const card = head.parentElement;
      card.querySelector(".ways")?.remove();
      (card.querySelector("figure, .sums, .read") ?? head).after(made);
    }
  }

  controls(line, sitting) {
    return controls(this.names, line.card.link?.text, (says, link) => this.ask(says, null, sitting, link));
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
    const title = `head-${sitting}-${line.number}`;
    const tapped = this.controls(line, sitting);
    if (!this.names) this.bare.push([title, line, sitting]);
    const made = slip(line.card, title, (says) => this.ask(says, line.number, sitting), tapped);
    const whose = element("p", { class: "whose" }, "for ", element("bdi", {}, line.asked_by), `, line ${line.to}`);
    made.append(whose);
    this.waits(`${sitting}-${line.to}`, false);
    return element("li", { class: "line answered" }, this.margin(line), made);
  }

  // Whether the answer to a line is still being worked out.
  waits(line, does) {
    this.lines.querySelector(`[data-line="${line}"]`)?.classList.toggle("waits", does);
  }
}
