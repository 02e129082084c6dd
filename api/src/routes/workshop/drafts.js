// Packs in work, kept in this browser and nowhere else. A draft is its files, and, under a key of its own because it never
// changes, how the pack was at the start.

const HEAD = "pipwright-workshop:";
const START = "pipwright-workshop-start:";

const fresh = () => Array.from(crypto.getRandomValues(new Uint8Array(8)), (byte) => byte.toString(16).padStart(2, "0")).join("");

// Some browsers forbid it altogether, and it may be full.
function put(key, value) {
  try {
    localStorage.setItem(key, value);
    return true;
  } catch {
    return false;
  }
}

function get(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

export function begin(title, files) {
  return { id: fresh(), title, files, start: files.map((file) => ({ ...file })), newStart: true };
}

// Whether it could be kept.
export function keep(draft) {
  const { id, title, files, trial } = draft;
  if (draft.newStart && put(START + id, JSON.stringify(draft.start))) draft.newStart = false;
  const kept = put(HEAD + id, JSON.stringify({ title, files, trial, changed: Date.now() }));
  return kept && !draft.newStart;
}

export function open(id) {
  const kept = get(HEAD + id);
  if (!Array.isArray(kept?.files) || kept.files.length === 0) return null;
  const start = get(START + id);
  return { id, title: kept.title, files: kept.files, trial: kept.trial, start: Array.isArray(start) ? start : kept.files, newStart: !start };
}

// Another window works on the same draft: what is typed here goes on under a name of its own, so that neither loses anything.
export function whenTaken(draft, tell) {
  addEventListener("storage", (event) => {
    if (event.key === HEAD + draft.id && event.newValue !== null) tell();
  });
}

export function fork(draft) {
  draft.id = fresh();
  draft.newStart = true;
}

export function all() {
  const found = [];
  try {
    for (let at = 0; at < localStorage.length; at += 1) {
      const key = localStorage.key(at);
      if (!key.startsWith(HEAD)) continue;
      const kept = get(key);
      if (kept?.files) found.push({ id: key.slice(HEAD.length), title: kept.title, changed: kept.changed ?? 0 });
    }
  } catch {
    return [];
  }
  return found.sort((one, other) => other.changed - one.changed);
}

export function remove(id) {
  try {
    localStorage.removeItem(HEAD + id);
    localStorage.removeItem(START + id);
  } catch {
    // What cannot be reached is not kept either.
  }
}
