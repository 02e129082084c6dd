// Files that come into the page, and the ways out of it: a folder as a ZIP file, and a link to the pack's content.
import { element, labelled, size } from "/workshop/page.js";
import { send } from "/workshop/service.js";
import { strToU8, unzipSync, zipSync } from "/workshop/vendor.js";

// A pack has up to so many files.
const MOST_FILES = 20;
const TEXT = /\.(toml|csv)$/i;
const SHEET = /\.(xlsx|ods)$/i;
export const isText = ({ base64 }) => base64 === undefined;

function base64Of(bytes) {
  let binary = "";
  for (let at = 0; at < bytes.length; at += 8192) binary += String.fromCharCode(...bytes.subarray(at, at + 8192));
  return btoa(binary);
}

const bytesOf = (base64) => Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));

// A text as the editor has it: its lines end alike, and how they ended is kept for the way out.
export function textFile(name, text) {
  const crlf = /\r\n/.test(text) && !/(^|[^\r])\n/.test(text);
  return { name, text: text.replace(/\r\n?/g, "\n"), ...(crlf && { crlf }) };
}

export const written = ({ text, crlf }) => (crlf ? text.replaceAll("\n", "\r\n") : text);

// What the service is sent: the same for checking, for keeping and for comparing.
export const payload = (files) => JSON.stringify({ files: files.map((file) => (isText(file) ? { name: file.name, text: written(file) } : { name: file.name, base64: file.base64 })) });

function file(name, bytes) {
  if (SHEET.test(name)) return { name, base64: base64Of(bytes) };
  try {
    return textFile(name, new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch {
    throw new Error(`${name} is not text in UTF-8. Save it as UTF-8 and open it again.`);
  }
}

// A path inside the pack, without the folder that all of them lie in.
function withoutFolder(files) {
  const first = files[0]?.name.split("/")[0];
  const all = files.every(({ name }) => name.includes("/") && name.split("/")[0] === first);
  return all ? files.map((one) => ({ ...one, name: one.name.slice(first.length + 1) })) : files;
}

// What is unpacked is bounded by what the ZIP file says of it before any of it is.
function unpacked(bytes, most) {
  let total = 0;
  const filter = ({ name, originalSize }) => {
    if (!TEXT.test(name) && !SHEET.test(name)) return false;
    total += originalSize;
    return total <= most;
  };
  let found;
  try {
    found = unzipSync(bytes, { filter });
  } catch {
    throw new Error("This ZIP file can't be read.");
  }
  if (total > most) throw new Error(`Unpacked, it is larger than ${size(most)}, which is the most that a pack may have here.`);
  return found;
}

// The files that somebody chose, of a folder, one by one, or in a ZIP file.
export async function opened(list, most) {
  const chosen = [...list];
  const total = chosen.reduce((sum, one) => sum + one.size, 0);
  if (total > most && chosen.some(({ name }) => TEXT.test(name) || SHEET.test(name) || /\.zip$/i.test(name))) {
    throw new Error(`These files have ${size(total)} together, and a pack may have ${size(most)} here.`);
  }
  const found = [];
  for (const one of chosen) {
    const path = one.webkitRelativePath || one.name;
    if (/\.zip$/i.test(path)) {
      const inside = Object.entries(unpacked(new Uint8Array(await one.arrayBuffer()), most));
      found.push(...inside.map(([name, bytes]) => file(name, bytes)));
    } else if (TEXT.test(path) || SHEET.test(path)) found.push(file(path, new Uint8Array(await one.arrayBuffer())));
  }
  if (!found.length) throw new Error("None of these is a file of a pack: .toml, .csv, .xlsx or .ods, or a ZIP file of such.");
  if (found.length > MOST_FILES) throw new Error(`These are ${found.length} files, and a pack may have ${MOST_FILES}.`);
  return withoutFolder(found).sort((one, other) => one.name.localeCompare(other.name));
}

export class Take {
  // `pack()` gives the pack's id and its files; `faulty()` whether it has mistakes.
  constructor(where, { pack, faulty, limits, builtIn }) {
    Object.assign(this, { pack, faulty, limits });
    this.start = element("code");
    this.instead = element("p", { class: "note" });
    this.link = element("div", { "aria-live": "polite" });
    this.builtIn = builtIn;
    where.replaceChildren(
      element("div", { class: "row" },
        element("button", { type: "button", id: "download", onclick: () => this.download() }, "Download as a folder"),
        element("button", { type: "button", id: "share", onclick: () => this.share() }, "Make a link")),
      element("p", {}, "Unpack the ZIP file, and start the bot with it from the folder above:"),
      element("p", {}, this.start), this.instead, this.link);
  }

  draw() {
    const { id } = this.pack();
    this.start.textContent = `PIPWRIGHT_PACKS=${id} PIPWRIGHT_PACK=${id} pipwright-bot`;
    this.instead.textContent = this.builtIn().includes(id) ? `The service has a pack called ${id} already; yours takes its place. Give yours a short name of its own to have both.` : "";
    this.link.replaceChildren();
  }

  download() {
    const { id, files } = this.pack();
    // Nothing leads out of the folder, whatever a file is called.
    const inside = (name) => name.split(/[\\/]/).filter((part) => part && part !== "." && part !== "..").join("/");
    const entries = files.map((one) => [`${id}/${inside(one.name)}`, isText(one) ? strToU8(written(one)) : bytesOf(one.base64)]);
    const zip = new Blob([zipSync(Object.fromEntries(entries))], { type: "application/zip" });
    const address = URL.createObjectURL(zip);
    const anchor = element("a", { href: address, download: `${id}.zip` });
    document.body.append(anchor);
    anchor.click();
    anchor.remove();
    setTimeout(() => URL.revokeObjectURL(address), 60000);
  }

  async share() {
    const say = (text) => this.link.replaceChildren(element("p", {}, text));
    if (this.faulty()) return say("The pack has mistakes or is still being checked, and a link leads to a pack without mistakes. The folder can be downloaded as it is.");
    say("The pack is sent.");
    const { answer, problem } = await send(payload(this.pack().files));
    if (!answer) return say(problem?.detail ?? "");
    const address = `${location.origin}/workshop?pack=${answer.address}`;
    const field = element("input", { readonly: true, value: address });
    const days = Math.round(answer.kept_s / 86400);
    const copied = element("span", { role: "status" });
    const copy = async () => {
      field.select();
      try {
        await navigator.clipboard.writeText(address);
        copied.textContent = " Copied.";
      } catch {
        copied.textContent = " Marked: copy it with the keys of your system.";
      }
    };
    const lasts = days >= 1 ? `for ${days} ${days === 1 ? "day" : "days"} after its last use` : `for ${answer.kept_s} seconds after its last use`;
    const here = answer.shared ? "" : " This service keeps it in its memory, so it is gone as well when the service is started anew.";
    return this.link.replaceChildren(
      labelled("Link to the pack as it is now", field, `Whoever opens it gets a copy. The service keeps the pack ${lasts}; then the link leads to nothing.${here}`),
      element("div", { class: "row" }, element("button", { type: "button", onclick: copy }, "Copy the link"), copied));
  }
}
