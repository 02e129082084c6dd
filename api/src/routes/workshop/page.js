// What all parts of the page need: elements, numbers as people read them, and waiting for a pause.

export function element(name, attributes = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (value === true) made.setAttribute(key, "");
    else if (value !== false && value !== undefined && value !== null) made.setAttribute(key, value);
  }
  made.append(...children.filter((child) => child !== null && child !== undefined));
  return made;
}

// A field with its label; `field` is an input or a select.
let labels = 0;
export function labelled(text, field, note) {
  field.id ||= `field-${(labels += 1)}`;
  const label = element("label", { for: field.id }, text);
  if (!note) return element("div", { class: "field" }, label, field);
  const said = element("span", { class: "note", id: `${field.id}-note` }, note);
  field.setAttribute("aria-describedby", said.id);
  return element("div", { class: "field" }, label, field, said);
}

export function choice(options, chosen) {
  const select = element("select");
  for (const { id, name } of options) select.append(element("option", { value: id }, name));
  if (options.some(({ id }) => id === chosen)) select.value = chosen;
  return select;
}

// Calls once `wait` milliseconds have passed without another call.
export function afterPause(wait, call) {
  let timer = 0;
  const later = (...given) => {
    clearTimeout(timer);
    timer = setTimeout(() => call(...given), wait);
  };
  later.stop = () => clearTimeout(timer);
  return later;
}

export const several = (count, one, more = `${one}s`) => `${count} ${count === 1 ? one : more}`;

export function size(bytes) {
  const kib = bytes / 1024;
  return kib < 1024 ? `${Math.ceil(kib)} KiB` : `${(Math.ceil(kib / 102.4) / 10).toLocaleString("en", { useGrouping: false })} MiB`;
}

// A chance, never said to be 0% or 100% where it is not. Unless a fraction proves it, a double close to 1 is not certain.
function chance(value, digits) {
  if (value <= 0) return "0%";
  const edge = 10 ** -(digits + 2);
  const shown = Math.max(digits, value < 0.01 || value > 0.99 ? 2 : digits);
  const least = Math.max(10 ** -(shown + 2), Math.min(edge, 0.0001));
  const percent = (part) => `${(part * 100).toFixed(shown).replace(/\.?0+$/, "")}%`;
  if (value < least) return `under ${percent(least)}`;
  if (value > 1 - least) return `over ${percent(1 - least)}`;
  return percent(value);
}

const number = (value, digits) => value.toFixed(digits).replace(/(\.\d*?)0+$/, "$1").replace(/\.$/, "").replace(/^-0$/, "0");

// Differences smaller than this are noise of the arithmetic.
const SAME = 1e-11;
export const same = (one, other) => Math.abs(one - other) <= SAME * Math.max(1, Math.abs(one), Math.abs(other));

// Two figures side by side: those that differ never print alike.
export function pair(before, now, isChance) {
  const form = isChance ? chance : number;
  const least = isChance ? 1 : 2;
  if (before === undefined || now === undefined || same(before, now)) {
    return [before, now].map((value) => (value === undefined ? undefined : form(value, least)));
  }
  for (let digits = least; digits < 12; digits += 1) {
    const shown = [form(before, digits), form(now, digits)];
    if (shown[0] !== shown[1]) return shown;
  }
  return [form(before, 12), form(now, 12)];
}

export function difference(before, now, isChance) {
  if (before === undefined || now === undefined) return "";
  if (same(before, now)) return "the same";
  const by = (now - before) * (isChance ? 100 : 1);
  let digits = isChance ? 1 : 2;
  while (digits < 12 && Number(by.toFixed(digits)) === 0) digits += 1;
  return `${by > 0 ? "+" : "−"}${number(Math.abs(by), digits)}${isChance ? " pp" : ""}`;
}
