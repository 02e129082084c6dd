// An answer as a slip of the score sheet. Every text is set as text; only the drawing of the chart is parsed, as XML.

export function element(name, settings = {}, ...inside) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(settings)) {
    if (key === "class") made.className = value;
    else if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else made.setAttribute(key, value);
  }
  made.append(...inside.filter((part) => part !== null && part !== undefined));
  return made;
}

// Text in which `this` is to be typed as it stands.
export function worded(text) {
  return text.split("`").map((part, at) => (at % 2 ? element("code", {}, part) : document.createTextNode(part)));
}

function sums(lines, name) {
  const row = (line) => element("div", {}, element("dt", {}, line.label), element("dd", {}, line.value));
  return lines.length ? element("dl", { class: name }, ...lines.map(row)) : null;
}

function drawing(chart) {
  const parsed = new DOMParser().parseFromString(chart.svg, "image/svg+xml").documentElement;
  if (parsed.localName !== "svg") return null;
  const figure = element("figure", {});
  figure.append(document.importNode(parsed, true));
  return figure;
}

function table(chart) {
  const head = element("thead", {}, element("tr", {},
    element("th", { scope: "col" }, chart.title), element("th", { scope: "col" }, "Chance")));
  const row = (bar) => element("tr", {}, element("th", { scope: "row" }, bar.label), element("td", {}, bar.value));
  return folded("Chart in figures", element("table", {}, head, element("tbody", {}, ...chart.bars.map(row))));
}

function folded(title, ...inside) {
  return element("details", {}, element("summary", {}, title), ...inside);
}

// More lines than this are folded away: who asks reads the headline first.
const LINES = 3;

function steps(steps) {
  const step = (step) => element("li", {}, element("b", {}, step.name), ": ", step.text,
    step.because.length ? element("ul", {}, ...step.because.map((why) => element("li", {}, why))) : null);
  return folded("Steps", element("ol", {}, ...steps.map(step)));
}

function link(link) {
  const place = link.address && /^https?:/.test(link.address)
    ? element("a", { href: link.address, rel: "noopener noreferrer", target: "_blank" }, link.text)
    : element("code", {}, link.text);
  return folded("Permanent link", element("p", { class: "link" }, place));
}

// `ask(says)` is called when somebody asks on; `controls` stand below the figures, where the question has any.
export function slip(card, title, ask, controls = null) {
  const made = element("article", { class: `slip ${card.sort}`, "aria-labelledby": title, dir: "auto" });
  made.append(element("h2", { id: title }, ...worded(card.headline)));
  // A misreading is seen before a number.
  if (card.read_as) made.append(element("p", { class: "read" }, `Read as: ${card.read_as}`));
  // A rule or a list is read whole; of a long review three sentences, then the figures.
  const whole = !card.lines.length && !card.chart;
  const paragraph = (text) => element("p", { class: "text" }, ...worded(text));
  const shown = whole ? card.text : card.text.slice(0, LINES);
  made.append(...shown.map(paragraph));
  const parts = [sums(card.lines.slice(0, LINES), "sums"), card.chart && drawing(card.chart), controls];
  const more = [...card.text.slice(shown.length).map(paragraph), sums(card.lines.slice(LINES), "sums")].filter(Boolean);
  if (more.length) parts.push(folded("More", ...more));
  if (card.steps.length) parts.push(steps(card.steps));
  if (card.chart) parts.push(table(card.chart));
  if (card.notes.length) parts.push(folded("Notes", ...card.notes.map((note) => element("p", { class: "note" }, ...worded(note)))));
  if (card.link) parts.push(link(card.link));
  if (card.follow_ups.length && !controls) {
    const button = (way) => element("button", { type: "button", onclick: () => ask(way.says) }, way.label);
    parts.push(element("p", { class: "ways", role: "group", "aria-label": "Ask on" }, ...card.follow_ups.map(button)));
  }
  made.append(...parts.filter(Boolean));
  return made;
}
