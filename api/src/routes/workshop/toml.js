// Where the units and weapons of a pack stand in its text, and the changes of the text that a form makes. A change is
// `{ from, to, insert }`; whatever it does not name stays as it was, comments and all.
import { parseTOML } from "/workshop/vendor.js";

const keyOf = (key) => key.keys.map((part) => (part.type === "TOMLBare" ? part.name : part.value));
const plain = (node) => (node?.type === "TOMLValue" ? node.value : undefined);

// Longer than this, reading a text at every change would hold up who types.
const LONGEST = 400_000;
// What was read last of each file: most of them have not changed since.
const known = new Map();

// The tables of one file, or nothing where it can't be read as it stands, or is too long.
export function read(file, text) {
  if (text.length > LONGEST) return null;
  const last = known.get(file);
  if (last?.text === text) return last.parsed;
  const parsed = parse(file, text);
  known.set(file, { text, parsed });
  return parsed;
}

function parse(file, text) {
  try {
    const [top] = parseTOML(text).body;
    return { file, text, tables: [{ resolvedKey: [], body: top.body.filter((node) => node.type === "TOMLKeyValue"), range: top.range }, ...top.body.filter((node) => node.type === "TOMLTable")] };
  } catch {
    return null;
  }
}

// The values below some key-values: `stats.hull.front` and where its value stands.
function leaves(body, before, into = new Map()) {
  for (const { key, value } of body) {
    const path = [...before, ...keyOf(key)];
    if (value.type === "TOMLInlineTable") {
      into.set(path.join("."), { table: value });
      leaves(value.body, path, into);
    } else into.set(path.join("."), { value });
  }
  return into;
}

const is = (key, ...path) => key.length === path.length && path.every((part, at) => key[at] === part);

// Every table of an array such as `[[unit]]`, with what stands in it and in plain tables below it.
function entries(parsed, name) {
  const found = [];
  for (const table of parsed.tables) {
    const key = table.resolvedKey;
    if (is(key, name, found.length)) {
      found.push({ file: parsed.file, own: table, values: leaves(table.body, []), tables: new Map(), at: table.range[0], to: table.range[1] });
    } else if (found.length && key[0] === name && key[1] === found.length - 1) {
      const entry = found.at(-1);
      entry.to = Math.max(entry.to, table.range[1]);
      if (key.slice(2).every((part) => typeof part === "string")) {
        entry.tables.set(key.slice(2).join("."), table);
        leaves(table.body, key.slice(2), entry.values);
      }
    }
  }
  for (const entry of found) {
    entry.id = plain(entry.values.get("id")?.value);
    entry.label = plain(entry.values.get("label")?.value);
    entry.name = entry.label ?? entry.id ?? "without an id";
  }
  return found;
}

// What is in the files together. `unread` are those that can't be read as they stand.
export function book(files) {
  const made = { units: [], weapons: [], kinds: [], roles: [], rules: [], stats: { unit: [], weapon: [] }, unread: [], parsed: new Map() };
  for (const { name, text } of files) {
    const parsed = read(name, text);
    if (!parsed) {
      made.unread.push(name);
      continue;
    }
    made.parsed.set(name, parsed);
    for (const [list, array] of [["units", "unit"], ["weapons", "weapon"], ["kinds", "kind"], ["roles", "role"], ["rules", "rule"]]) {
      for (const entry of entries(parsed, array)) {
        // A pack on top of another changes what has an id there.
        const again = made[list].some(({ id }) => id === entry.id);
        entry.key = again ? `${entry.id} in ${name}` : entry.id ?? "";
        if (again) entry.name = `${entry.name} (${name})`;
        made[list].push(entry);
      }
    }
    for (const sort of ["unit", "weapon"]) {
      const tables = parsed.tables.filter(({ resolvedKey: [first] }) => first === "stats" || first === undefined);
      const all = new Map();
      for (const table of tables) leaves(table.body, table.resolvedKey, all);
      for (const key of all.keys()) {
        const [, of, id, ...rest] = key.split(".");
        if (!key.startsWith(`stats.${sort}.`) || rest.length || of !== sort) continue;
        const told = (what) => plain(all.get(`${key}.${what}`)?.value);
        const list = (what) => all.get(`${key}.${what}`)?.value?.elements?.map(plain);
        made.stats[sort].push({ id, label: told("label") ?? id, holds: told("holds"), text: told("text"), words: list("words"), kinds: list("kinds") });
      }
    }
  }
  return made;
}

// A text as TOML writes it; JSON's escapes are TOML's, but for one character.
export const quoted = (text) => JSON.stringify(text).replaceAll("\x7f", "\\u007f");

const WHOLE = /^[+-]?\d{1,15}$/;

// What is typed into a field, as the file has it. A word stays a word, also where it looks like a number.
export function literal(typed, isText) {
  const said = typed.trim();
  return !isText && WHOLE.test(said) ? String(Number(said)) : quoted(isText ? typed : said);
}

// The end of the line on which the last of these key-values ends, so that a comment behind it stays with it.
function lineEnd(text, offset) {
  const end = text.indexOf("\n", offset);
  return end < 0 ? text.length : end;
}

const bareKey = (key) => (/^[A-Za-z0-9_-]+$/.test(key) ? key : quoted(key));

// Sets the value at this path, which is there already or is written into the nearest table that is there.
export function set(text, entry, path, written) {
  const known = entry.values.get(path.join("."));
  if (known?.value) return { from: known.value.range[0], to: known.value.range[1], insert: written };
  for (let depth = path.length - 1; depth >= 0; depth -= 1) {
    const [head, rest] = [path.slice(0, depth), path.slice(depth)];
    const said = `${bareKey(rest[0])} = ${rest.slice(1).reduceRight((inner, key) => `{ ${bareKey(key)} = ${inner} }`, written)}`;
    const inline = entry.values.get(head.join("."))?.table;
    if (depth > 0 && inline) {
      const last = inline.body.at(-1);
      if (last) return { from: last.range[1], to: last.range[1], insert: `, ${said}` };
      return { from: inline.range[0], to: inline.range[1], insert: `{ ${said} }` };
    }
    const table = depth === 0 ? entry.own : entry.tables.get(head.join("."));
    if (table) {
      const last = table.body.at(-1);
      const at = lineEnd(text, last ? last.range[1] : table.range[0]);
      return { from: at, to: at, insert: `\n${said}` };
    }
  }
  return null;
}

// The things in a list such as `weapons`: each with its id, and whether it is a plain name.
export function listed(entry, key) {
  const node = entry.values.get(key);
  const one = (element) => {
    if (element.type !== "TOMLInlineTable") return { id: String(plain(element) ?? ""), node: element, bare: true };
    const inside = leaves(element.body, []);
    return { id: String(plain(inside.get("weapon")?.value) ?? ""), node: element, bare: false };
  };
  if (!node) return [];
  if (node.table) return [one(node.table)];
  return node.value.type === "TOMLArray" ? node.value.elements.map(one) : [one(node.value)];
}

export function addTo(text, entry, key, id) {
  const known = entry.values.get(key);
  const node = known?.value ?? known?.table;
  if (!node) return set(text, entry, [key], `[${quoted(id)}]`);
  if (node.type !== "TOMLArray") return { from: node.range[0], to: node.range[1], insert: `[${text.slice(...node.range)}, ${quoted(id)}]` };
  const last = node.elements.at(-1);
  if (!last) return { from: node.range[0] + 1, to: node.range[0] + 1, insert: quoted(id) };
  return { from: last.range[1], to: last.range[1], insert: `, ${quoted(id)}` };
}

export function takeFrom(text, entry, key, id) {
  const known = entry.values.get(key);
  const node = known?.value ?? known?.table;
  const found = listed(entry, key).find((one) => one.id === id);
  if (!node || !found) return null;
  if (node.type !== "TOMLArray") return { from: node.range[0], to: node.range[1], insert: "[]" };
  const [from, to] = found.node.range;
  const behind = text.slice(to, node.range[1]).match(/^\s*,[ \t]*/);
  if (behind) return { from, to: to + behind[0].length, insert: "" };
  const before = text.slice(node.range[0], from).match(/,\s*$/);
  return { from: from - (before?.[0].length ?? 0), to, insert: "" };
}

// An id from a name, unlike those that there are.
export function idFrom(name, taken) {
  const plainName = name.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();
  const base = plainName.split(/[^a-z0-9]+/).filter(Boolean).join("-").slice(0, 40) || "new";
  let id = base;
  for (let more = 2; taken.includes(id); more += 1) id = `${base}-${more}`;
  return id;
}

// Other names of a thing belong to that one alone.
const OWN = ["id", "label", "also", "singular", "plural", "text"];

// Another one like this, to stand at the end of its file: the same numbers under a new name.
export function another(text, entry, array, name, id) {
  const rest = entry.own.body.filter(({ key }) => !OWN.includes(keyOf(key)[0])).map((node) => text.slice(...node.range));
  const below = [...entry.tables].map(([path, table]) => `[${array}.${path}]\n${table.body.map((node) => text.slice(...node.range)).join("\n")}`);
  const lines = [`[[${array}]]`, `id = ${quoted(id)}`, `label = ${quoted(name)}`, ...rest, ...below];
  const gap = text === "" || text.endsWith("\n\n") ? "" : text.endsWith("\n") ? "\n" : "\n\n";
  return { from: text.length, to: text.length, insert: `${gap}${lines.join("\n")}\n` };
}

// The first one of a file that has none, with the numbers that its pack asks for.
export function first(text, array, name, id, stats, kind, role) {
  const usual = { number: "1", needs: quoted("4+"), dice: "1" };
  const said = stats.map((stat) => `${bareKey(stat.id)} = ${stat.holds === "word" ? quoted(stat.words?.[0] ?? "") : usual[stat.holds] ?? "1"}`);
  const more = array === "unit" ? [kind && `kind = ${quoted(kind)}`, role && `role = ${quoted(role)}`, "points = 10"] : ["reach = 12"];
  const lines = [`[[${array}]]`, `id = ${quoted(id)}`, `label = ${quoted(name)}`, ...more.filter(Boolean), `stats = { ${said.join(", ")} }`];
  const gap = text === "" || text.endsWith("\n\n") ? "" : text.endsWith("\n") ? "\n" : "\n\n";
  return { from: text.length, to: text.length, insert: `${gap}${lines.join("\n")}\n` };
}
