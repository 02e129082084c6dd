// Sends the requests: the query, the key, retries, kept answers, problems. Written by hand: plain JavaScript with types
// in its comments, so that nothing has to be built. `core.d.ts` is what the TypeScript compiler makes of them.

/**
 * @typedef {object} Options
 * @property {string} [key] An API key, where the service has given you one; sent as `X-Api-Key`.
 * @property {number} [timeoutMs] How long one attempt may take, in milliseconds; default 30,000.
 * @property {number} [retries] How often a 429 or 503 is asked again; default 3.
 * @property {number} [longestWaitMs] The longest wait before asking again; where the service wants more, the problem is
 *   thrown at once. Default 30,000.
 * @property {number} [keep] How many answers are kept for asking with their `ETag`; default 64, of at most 1 MiB each.
 */

/**
 * What each method takes last.
 * @typedef {object} CallOptions
 * @property {AbortSignal} [signal] Ends the request, and the waits between attempts.
 */

/**
 * One event of a stream: its name, and its data read as JSON.
 * @typedef {{ event: string, data: unknown }} ServerEvent
 */

/**
 * @typedef {object} Call
 * @property {object} [query]
 * @property {string[]} [asJson] The fields of the query that are written as JSON; the others are written plainly.
 * @property {unknown} [body]
 * @property {string} [accept]
 * @property {AbortSignal} [signal]
 */

/** @typedef {{ etag: string, bytes: Uint8Array }} Kept */

const LARGEST_KEPT = 1024 * 1024;

/** Any answer of the service that is not a success. Where none comes, `fetch` throws its own errors. */
export class ProblemError extends Error {
  /**
   * @param {import("./types.js").Problem} problem
   * @param {Headers} headers
   */
  constructor(problem, headers) {
    super(`${problem.status} ${problem.title}: ${problem.detail}`);
    this.name = "ProblemError";
    /** The whole problem as the service sent it. */
    this.problem = problem;
    /** The kind of problem: the path of its page. `about:blank` where the answer was no `application/problem+json`. */
    this.type = problem.type;
    this.title = problem.title;
    this.status = problem.status;
    this.detail = problem.detail;
    /** Where in the request the mistake is, as an RFC 6901 pointer. */
    this.pointer = problem.pointer;
    /** All mistakes, where there are several. */
    this.errors = problem.errors ?? [];
    /** The id under which the service logs the request. */
    this.requestId = headers.get("x-request-id");
  }
}

/** What the class made from the contract is built on. */
export class Core {
  #base;
  #options;
  /** @type {Map<string, Kept>} */
  #kept = new Map();

  /**
   * @param {string} base The address of the service, such as `http://127.0.0.1:8640`.
   * @param {Options} [options]
   */
  constructor(base, { key, timeoutMs = 30_000, retries = 3, longestWaitMs = 30_000, keep = 64 } = {}) {
    this.#base = base.replace(/\/+$/, "");
    this.#options = { key, timeoutMs, retries, longestWaitMs, keep };
  }

  /**
   * @protected
   * @param {string} method
   * @param {string} path
   * @param {Call} call
   * @returns {Promise<any>}
   */
  async _json(method, path, call) {
    return JSON.parse(await this._text(method, path, { accept: "application/json", ...call }));
  }

  /**
   * @protected
   * @param {string} method
   * @param {string} path
   * @param {Call} call
   */
  async _text(method, path, call) {
    return new TextDecoder().decode(await this._bytes(method, path, call));
  }

  /**
   * @protected
   * @param {string} method
   * @param {string} path
   * @param {Call} call
   * @returns {Promise<Uint8Array>}
   */
  async _bytes(method, path, call) {
    const url = this.#base + path + written(call.query, call.asJson);
    const name = `${call.accept} ${url}`;
    const kept = method === "GET" ? this.#kept.get(name) : undefined;
    const { response, bytes } = await this.#ask(method, url, call, kept?.etag, async (response) => ({
      response,
      bytes: new Uint8Array(await response.arrayBuffer()),
    }));
    this.#kept.delete(name);
    const etag = response.headers.get("etag");
    const now = response.status === 304 && kept ? kept : { etag, bytes };
    if (method === "GET" && now.etag && now.bytes.length <= LARGEST_KEPT) {
      // The newest stands last, so the first is the one that was not used for longest.
      this.#kept.set(name, { etag: now.etag, bytes: now.bytes });
      if (this.#kept.size > this.#options.keep) this.#kept.delete([...this.#kept.keys()][0]);
    }
    return now.bytes;
  }

  /**
   * @protected
   * @param {string} method
   * @param {string} path
   * @param {Call} call
   * @returns {AsyncGenerator<ServerEvent, void, undefined>}
   */
  async *_events(method, path, call) {
    const url = this.#base + path + written(call.query, call.asJson);
    const body = await this.#ask(method, url, call, undefined, async (response) => response.body);
    if (!body) return;
    const reader = body.getReader();
    const decoder = new TextDecoder();
    try {
      for (let text = ""; ; ) {
        const { done, value } = await reader.read();
        text += decoder.decode(value, { stream: !done });
        const blocks = text.split(/\r?\n\r?\n/);
        text = blocks.pop() ?? "";
        for (const block of blocks) {
          const event = read(block);
          if (event) yield event;
        }
        if (done) return;
      }
    } finally {
      await reader.cancel();
    }
  }

  /**
   * Sends the request until it is answered by something other than "later", or there was enough of that.
   * @template T
   * @param {string} method
   * @param {string} url
   * @param {Call} call
   * @param {string | undefined} etag
   * @param {(response: Response) => Promise<T>} use What is done with a success, within the time of one attempt.
   * @returns {Promise<T>}
   */
  async #ask(method, url, { body, accept, signal }, etag, use) {
    const { key, timeoutMs, retries, longestWaitMs } = this.#options;
    /** @type {Record<string, string>} */
    const headers = {};
    if (accept) headers["accept"] = accept;
    if (key) headers["x-api-key"] = key;
    if (etag) headers["if-none-match"] = etag;
    if (body !== undefined) headers["content-type"] = "application/json";
    const sent = body === undefined ? null : JSON.stringify(body);
    for (let tried = 0; ; tried++) {
      const late = new AbortController();
      const timer = setTimeout(
        () => late.abort(new DOMException(`no answer within ${timeoutMs} ms`, "TimeoutError")),
        timeoutMs,
      );
      let problem;
      let wait;
      try {
        const response = await fetch(url, {
          method,
          headers,
          body: sent,
          signal: signal ? AbortSignal.any([signal, late.signal]) : late.signal,
        });
        if (response.ok || (response.status === 304 && etag)) return await use(response);
        problem = await problemOf(response);
        wait = waitMs(response.headers.get("retry-after"), tried);
      } finally {
        clearTimeout(timer);
      }
      const later = problem.status === 429 || problem.status === 503;
      if (!later || tried >= retries || wait > longestWaitMs) throw problem;
      await sleep(wait, signal);
    }
  }
}

/**
 * One part of a path.
 * @param {string} text
 */
export const part = (text) => encodeURIComponent(text);

/**
 * The query as the contract says: some fields as JSON, the others plainly. What is left out or undefined is not sent.
 * @param {object} [query]
 * @param {string[]} [asJson]
 */
function written(query = {}, asJson = []) {
  const pairs = Object.entries(query)
    .filter(([, value]) => value !== undefined)
    .flatMap(([name, value]) => {
      const texts = asJson.includes(name) ? [JSON.stringify(value)] : [value].flat().map(String);
      return texts.map((text) => `${encodeURIComponent(name)}=${encodeURIComponent(text)}`);
    });
  return pairs.length ? `?${pairs.join("&")}` : "";
}

/**
 * How many milliseconds to wait: what `Retry-After` says, in seconds or as a date; else half a second, twice that, and
 * so on, less up to half of it, so that many clients do not come back together.
 * @param {string | null} retryAfter
 * @param {number} tried
 */
function waitMs(retryAfter, tried) {
  const said = retryAfter === null ? NaN : Number(retryAfter) * 1000;
  const until = Date.parse(retryAfter ?? "") - Date.now();
  const backOff = 500 * 2 ** tried * (1 - Math.random() / 2);
  return Math.max(0, !Number.isNaN(said) ? said : !Number.isNaN(until) ? until : backOff);
}

/**
 * @param {number} ms
 * @param {AbortSignal} [signal]
 * @returns {Promise<void>}
 */
function sleep(ms, signal) {
  return new Promise((resolve, reject) => {
    signal?.throwIfAborted();
    const stop = () => (clearTimeout(timer), reject(signal?.reason));
    const timer = setTimeout(() => (signal?.removeEventListener("abort", stop), resolve()), ms);
    signal?.addEventListener("abort", stop, { once: true });
  });
}

/** @param {Response} response */
async function problemOf(response) {
  const text = await response.text();
  const { status, statusText } = response;
  const problem = { type: "about:blank", title: statusText || "no success", status, detail: text };
  const isProblem = response.headers.get("content-type")?.startsWith("application/problem+json");
  return new ProblemError(isProblem ? { ...problem, ...JSON.parse(text) } : problem, response.headers);
}

/**
 * @param {string} block The lines of one event.
 * @returns {ServerEvent | undefined}
 */
function read(block) {
  let event = "message";
  const data = [];
  for (const line of block.split(/\r?\n/)) {
    const [, field, value] = /^(\w+): ?(.*)$/.exec(line) ?? [];
    if (field === "event") event = value;
    if (field === "data") data.push(value);
  }
  return data.length ? { event, data: JSON.parse(data.join("\n")) } : undefined;
}
