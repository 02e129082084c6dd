// What the change did to the league: what each unit gives for its points, before and now. Only worked out when asked for.
import { difference, element, pair, same, several } from "/workshop/page.js";
import { ask, gone } from "/workshop/service.js";

export class League {
  // `packs` gives the addresses of the pack before and now; `renew` sends both again.
  constructor(where, { packs, renew }) {
    Object.assign(this, { packs, renew, round: 0 });
    this.button = element("button", { type: "button", onclick: () => this.ask(true) }, "Work out the league, before and now");
    this.result = element("div", { id: "league-result", "aria-live": "polite" });
    where.replaceChildren(this.button, this.result);
  }

  // What stands there is about another text by now.
  age() {
    this.round += 1;
    this.button.disabled = false;
    if (this.result.firstChild && !this.result.querySelector(".old")) {
      this.result.prepend(element("p", { class: "note old" }, "The text has changed since."));
    }
  }

  clear() {
    this.round += 1;
    this.button.disabled = false;
    this.result.replaceChildren();
  }

  async ask(again) {
    const { before, now } = this.packs();
    const round = (this.round += 1);
    if (!now) return this.say("The pack has mistakes or is still being checked.");
    this.button.disabled = true;
    this.say("All units against all, twice: this may take some seconds.");
    const [was, is] = await Promise.all([before ? ask("/v1/worth", { pack: before }) : {}, ask("/v1/worth", { pack: now })]);
    if (round !== this.round) return undefined;
    this.button.disabled = false;
    if (again && (gone(was.problem) || gone(is.problem))) {
      await this.renew();
      return this.ask(false);
    }
    if (!is.answer) return this.say(is.problem?.detail ?? "");
    return this.show(was, is.answer);
  }

  say(text) {
    this.result.replaceChildren(element("p", {}, text));
  }

  show(was, now) {
    const old = new Map((was.answer?.rows ?? []).map((row) => [row.unit, row]));
    const names = new Set(now.rows.map(({ unit }) => unit));
    const line = (unit, name, one, other) => {
      const [left, right] = pair(one?.worth, other?.worth, false);
      const differs = one && other ? difference(one.worth, other.worth, false) : other ? "new" : "gone";
      const points = one && other && one.points !== other.points ? `${other.points} (was ${one.points})` : String((other ?? one).points);
      return element("tr", { class: one && other && !same(one.worth, other.worth) ? "differs" : false, "data-unit": unit },
        element("th", { scope: "row" }, name), ...[points, left ?? "–", right ?? "–", differs].map((text) => element("td", { class: "number" }, text)));
    };
    const rows = now.rows.map((row) => line(row.unit, row.counted, old.get(row.unit), row));
    for (const [unit, row] of old) if (!names.has(unit)) rows.push(line(unit, row.counted, row, undefined));
    const both = now.rows.filter(({ unit }) => old.has(unit)).map((row) => [old.get(row.unit).worth, row.worth]);
    const count = (test) => both.filter(test).length;
    const [more, less] = [count(([one, other]) => other > one && !same(one, other)), count(([one, other]) => other < one && !same(one, other))];
    const give = (many, what) => many && `${many} ${many === 1 ? "gives" : "give"} ${what} for ${many === 1 ? "its" : "their"} points than before`;
    const told = [give(more, "more"), give(less, "less")].filter(Boolean).join(", and ");
    const lead = was.answer
      ? told ? `Of ${several(both.length, "unit")} that ${both.length === 1 ? "was" : "were"} there before, ${told}.` : "No unit gives more or less for its points than before."
      : `There is no league of the pack as it was at the start: ${was.problem?.detail ?? "it has mistakes."}`;
    const head = ["Unit", "Points", "Before", "Now", "Difference"].map((text, at) => element("th", { scope: "col", class: at ? "number" : false }, text));
    this.result.replaceChildren(
      element("p", { class: "headline" }, lead),
      element("table", {}, element("caption", {}, "What each unit gives for its points; 1 is the middle of its pack"), element("thead", {}, element("tr", {}, ...head)), element("tbody", {}, ...rows)),
      element("details", {}, element("summary", {}, "How it is measured"), element("p", { class: "note" }, now.method)),
    );
  }
}
