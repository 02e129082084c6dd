// Completion: words that may come next, chosen with the arrows or by touch. Tab is only taken while one is chosen.
import { element } from "/card.js";

const PAUSE = 80;

export class Words {
  constructor(page, field, fetch, say) {
    this.field = field;
    this.list = page.querySelector("#words");
    this.fetch = fetch;
    this.say = say;
    this.key = 0;
    this.chosen = -1;
    this.timer = 0;
    field.addEventListener("input", () => this.later());
    field.addEventListener("blur", () => setTimeout(() => this.close(), 150));
  }

  later() {
    clearTimeout(this.timer);
    this.close();
    this.timer = setTimeout(() => {
      const begun = this.field.value.slice(0, this.field.selectionStart);
      if (begun.trim()) this.fetch(++this.key, begun);
    }, PAUSE);
  }

  show(told) {
    if (told.key !== this.key || document.activeElement !== this.field) return;
    this.start = told.start;
    const option = (word, at) => {
      const made = element("li", { role: "option", id: `word-${at}`, "aria-selected": "false" }, word.trim());
      made.addEventListener("pointerdown", (event) => { event.preventDefault(); this.take(at); });
      return made;
    };
    this.words = told.words;
    this.list.replaceChildren(...told.words.map(option));
    this.list.hidden = told.words.length === 0;
    if (told.words.length) this.say(`${told.words.length} words fit; arrow down chooses.`);
  }

  close() {
    this.list.hidden = true;
    this.chosen = -1;
    this.field.removeAttribute("aria-activedescendant");
  }

  // Nothing that is still on its way is shown.
  forget() {
    clearTimeout(this.timer);
    this.key += 1;
    this.close();
  }

  choose(by) {
    const count = this.list.children.length;
    this.chosen = (this.chosen + by + count) % count;
    [...this.list.children].forEach((option, at) => {
      option.setAttribute("aria-selected", String(at === this.chosen));
      if (at === this.chosen) option.scrollIntoView({ block: "nearest" });
    });
    this.field.setAttribute("aria-activedescendant", `word-${this.chosen}`);
  }

  take(at) {
    const { value, selectionStart } = this.field;
    const head = `${value.slice(0, this.start)}${this.words[at].trim()} `;
    this.field.value = head + value.slice(selectionStart).trimStart();
    this.field.setSelectionRange(head.length, head.length);
    this.field.focus();
    this.forget();
  }

  // Whether the key was for the list.
  pressed(event) {
    if (this.list.hidden) return false;
    if (event.key === "ArrowDown") this.choose(1);
    else if (event.key === "ArrowUp") this.choose(this.chosen < 0 ? 0 : -1);
    else if (event.key === "Escape") this.forget();
    else if ((event.key === "Enter" || event.key === "Tab") && !event.shiftKey && this.chosen >= 0) this.take(this.chosen);
    else return false;
    event.preventDefault();
    return true;
  }
}
