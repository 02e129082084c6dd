/** Any answer of the service that is not a success. Where none comes, `fetch` throws its own errors. */
export class ProblemError extends Error {
    /**
     * @param {import("./types.js").Problem} problem
     * @param {Headers} headers
     */
    constructor(problem: import("./types.js").Problem, headers: Headers);
    /** The whole problem as the service sent it. */
    problem: import("./types.js").Problem;
    /** The kind of problem: the path of its page. `about:blank` where the answer was no `application/problem+json`. */
    type: string;
    title: string;
    status: number;
    detail: string;
    /** Where in the request the mistake is, as an RFC 6901 pointer. */
    pointer: string | undefined;
    /** All mistakes, where there are several. */
    errors: import("./types.js").Entry[];
    /** The id under which the service logs the request. */
    requestId: string | null;
}
/** What the class made from the contract is built on. */
export class Core {
    /**
     * @param {string} base The address of the service, such as `http://127.0.0.1:8640`.
     * @param {Options} [options]
     */
    constructor(base: string, { key, timeoutMs, retries, longestWaitMs, keep }?: Options);
    /**
     * @protected
     * @param {string} method
     * @param {string} path
     * @param {Call} call
     * @returns {Promise<any>}
     */
    protected _json(method: string, path: string, call: Call): Promise<any>;
    /**
     * @protected
     * @param {string} method
     * @param {string} path
     * @param {Call} call
     */
    protected _text(method: string, path: string, call: Call): Promise<string>;
    /**
     * @protected
     * @param {string} method
     * @param {string} path
     * @param {Call} call
     * @returns {Promise<Uint8Array>}
     */
    protected _bytes(method: string, path: string, call: Call): Promise<Uint8Array>;
    /**
     * @protected
     * @param {string} method
     * @param {string} path
     * @param {Call} call
     * @returns {AsyncGenerator<ServerEvent, void, undefined>}
     */
    protected _events(method: string, path: string, call: Call): AsyncGenerator<ServerEvent, void, undefined>;
    #private;
}
export function part(text: string): string;
export type Options = {
    /**
     * An API key, where the service has given you one; sent as `X-Api-Key`.
     */
    key?: string;
    /**
     * How long one attempt may take, in milliseconds; default 30,000.
     */
    timeoutMs?: number;
    /**
     * How often a 429 or 503 is asked again; default 3.
     */
    retries?: number;
    /**
     * The longest wait before asking again; where the service wants more, the problem is
     * thrown at once. Default 30,000.
     */
    longestWaitMs?: number;
    /**
     * How many answers are kept for asking with their `ETag`; default 64, of at most 1 MiB each.
     */
    keep?: number;
};
/**
 * What each method takes last.
 */
export type CallOptions = {
    /**
     * Ends the request, and the waits between attempts.
     */
    signal?: AbortSignal;
};
/**
 * One event of a stream: its name, and its data read as JSON.
 */
export type ServerEvent = {
    event: string;
    data: unknown;
};
export type Call = {
    query?: object;
    /**
     * The fields of the query that are written as JSON; the others are written plainly.
     */
    asJson?: string[];
    body?: unknown;
    accept?: string;
    signal?: AbortSignal;
};
export type Kept = {
    etag: string;
    bytes: Uint8Array;
};
