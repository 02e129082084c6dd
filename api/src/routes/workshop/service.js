// What the page asks of the service. An answer is `{ answer }`, a refusal `{ problem }`, and no answer at all `{ away }`.

const problems = { 413: "This is more text than the service takes at once.", 429: "The service is asked too often at the moment." };

export async function ask(path, body, signal) {
  const settings = { signal, headers: { accept: "application/json" } };
  if (body !== undefined) {
    settings.method = "POST";
    settings.headers["content-type"] = "application/json";
    settings.body = typeof body === "string" ? body : JSON.stringify(body);
  }
  let response;
  try {
    response = await fetch(path, settings);
    // A proxy without a service behind it answers something that is none of ours.
    const said = await response.json();
    if (response.ok) return { answer: said };
    const wait = Number(response.headers.get("retry-after")) || undefined;
    const detail = said.detail ?? problems[response.status] ?? `The service answers ${response.status}.`;
    return { problem: { ...said, status: response.status, detail, wait } };
  } catch (error) {
    if (signal?.aborted) return { stopped: true };
    return { away: true, problem: { status: response?.status ?? 0, detail: "The service can't be reached at the moment." } };
  }
}

export const gone = (problem) => String(problem?.type).endsWith("/pack-gone");

const named = (pack) => encodeURIComponent(pack);
export const packs = () => ask("/v1/packs");
export const files = (pack) => ask(`/v1/packs/${named(pack)}/files`);
export const names = (pack) => ask(`/v1/packs/${named(pack)}`);

export const forget = () => { last = { text: undefined, told: undefined }; };

// The same text twice is sent once, as long as it is the last one.
let last = { text: undefined, told: undefined };
export async function send(text) {
  if (last.text === text && last.told?.answer) return last.told;
  const told = await ask("/v1/packs", text);
  if (told.answer) last = { text, told };
  return told;
}
