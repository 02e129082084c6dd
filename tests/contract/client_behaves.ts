// What the TypeScript client does when the service refuses, delays or repeats: told by a small server that answers as each
// case says and writes down what it was sent. The last cases ask the running service.
// usage: node client_behaves.js BASE
import assert from "node:assert/strict";
import { createServer, type IncomingMessage, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { Pipwright, ProblemError, type Options } from "pipwright-client";

type Answer = { status?: number; headers?: Record<string, string>; body?: string; silent?: boolean };
let answers: Answer[] = [];
let heard: { line: string; headers: IncomingMessage["headers"]; body: string }[] = [];
const server = createServer(async (request: IncomingMessage, response: ServerResponse) => {
  let body = "";
  for await (const piece of request) body += piece;
  heard.push({ line: `${request.method} ${request.url}`, headers: request.headers, body });
  const answer = answers.shift() ?? { status: 500, body: "one request too many" };
  if (answer.silent) return;
  response.writeHead(answer.status ?? 200, { "content-type": "application/json", ...answer.headers });
  // In two pieces, so that nothing depends on where they are cut.
  const middle = Math.floor((answer.body ?? "").length / 2);
  response.write((answer.body ?? "").slice(0, middle));
  setTimeout(() => response.end((answer.body ?? "").slice(middle)), 20);
});
await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
const fake = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;

let passed = 0;
async function shows(what: string, given: Answer[], options: Options, test: (client: Pipwright) => Promise<void>) {
  [answers, heard] = [[...given], []];
  try {
    await test(new Pipwright(fake, options));
    assert.equal(answers.length, 0, "answers that were not asked for");
    passed += 1;
  } catch (error) {
    console.error(`client_behaves.ts: ${what}:`, error);
    process.exitCode = 1;
  }
}
async function problem(asked: Promise<unknown>): Promise<ProblemError> {
  const error = await asked.then(() => undefined, (error: unknown) => error);
  assert.ok(error instanceof ProblemError, `a ProblemError, not ${error}`);
  return error;
}
async function seconds(asked: Promise<unknown>): Promise<number> {
  const began = performance.now();
  await asked;
  return (performance.now() - began) / 1000;
}
const question = { dice: "2d6", needs: "7+" };
const busy = { type: "/docs/problems/too-busy", title: "The service is too busy", status: 503, detail: "Ask again." };
const later = (status: number, headers: Record<string, string>): Answer => ({
  status,
  headers: { "content-type": "application/problem+json", ...headers },
  body: JSON.stringify({ ...busy, status }),
});
const ok = (body: string, etag?: string): Answer => ({ body, headers: etag ? { etag } : {} });

await shows("429 is asked again after Retry-After", [later(429, { "retry-after": "0" }), later(429, { "retry-after": "1" }), ok('{"chance":0.25}')], {}, async (client) => {
  const asked = client.check(question);
  const took = await seconds(asked);
  assert.equal((await asked).chance, 0.25);
  assert.ok(took >= 0.99 && took < 5, `took ${took} s`);
  assert.deepEqual(heard.map(({ line }) => line), Array(3).fill("POST /v1/check"));
  assert.deepEqual(JSON.parse(heard[2]!.body), question);
});
await shows("503 without Retry-After is asked again after a while that doubles", [later(503, {}), later(503, {}), ok("{}")], {}, async (client) => {
  const took = await seconds(client.check(question));
  assert.ok(took >= 0.74 && took < 5, `took ${took} s`);
});
await shows("503 three times is enough where two retries are", Array(3).fill(later(503, { "retry-after": "0" })), { retries: 2 }, async (client) => {
  const error = await problem(client.check(question));
  assert.deepEqual([error.status, error.type, error.title, error.detail], [503, busy.type, busy.title, busy.detail]);
  assert.equal(heard.length, 3);
});
await shows("a wait that is too long is not begun", [later(429, { "retry-after": "31" })], {}, async (client) => {
  assert.equal((await problem(client.check(question))).status, 429);
});
await shows("a date is a Retry-After, too", [later(503, { "retry-after": "Wed, 21 Oct 2099 07:28:00 GMT" })], {}, async (client) => {
  assert.equal((await problem(client.check(question))).status, 503);
});
await shows("a date that is past is no wait", [...Array(3).fill(later(503, { "retry-after": "Wed, 21 Oct 2015 07:28:00 GMT" })), ok("{}")], {}, async (client) => {
  assert.ok((await seconds(client.check(question))) < 1.5, "less than the waits without it");
});
await shows("what is wrong is said in all its fields and not asked again", [{
  status: 422,
  headers: { "content-type": "application/problem+json", "x-request-id": "abc" },
  body: '{"type":"/docs/problems/bad-value","title":"A bad value","status":422,"detail":"No.","pointer":"/needs","errors":[{"type":"t","detail":"No.","pointer":"/needs"},{"type":"t","detail":"Nor this.","pointer":"/dice"}]}',
}], {}, async (client) => {
  const error = await problem(client.check(question));
  assert.equal(error.type, "/docs/problems/bad-value");
  assert.equal(error.title, "A bad value");
  assert.equal(error.status, 422);
  assert.equal(error.detail, "No.");
  assert.equal(error.pointer, "/needs");
  assert.deepEqual(error.errors.map(({ pointer }) => pointer), ["/needs", "/dice"]);
  assert.equal(error.requestId, "abc");
  assert.equal(error.message, "422 A bad value: No.");
});
await shows("a refusal that is no problem document is one error of the same class", [{ status: 414, headers: { "content-type": "text/plain" }, body: "too long" }], {}, async (client) => {
  const error = await problem(client.checkLink(question));
  assert.deepEqual([error.status, error.type, error.detail], [414, "about:blank", "too long"]);
});

await shows("an ETag is sent, a 304 gives the kept answer, untouched", [ok('{"chance":0.25}', '"a"'), { status: 304, headers: { etag: '"a"' } }, ok('{"chance":0.5}', '"b"'), { status: 304 }], {}, async (client) => {
  const first = await client.checkLink(question);
  first.chance = 7;
  assert.equal((await client.checkLink(question)).chance, 0.25);
  assert.equal((await client.checkLink(question)).chance, 0.5);
  assert.equal((await client.checkLink(question)).chance, 0.5);
  assert.deepEqual(heard.map(({ headers }) => headers["if-none-match"]), [undefined, '"a"', '"a"', '"b"']);
});
await shows("so many answers are kept, the last ones used", ["a", "b", "a", "c", "a", "b"].map((etag) => ok("{}", `"${etag}"`)), { keep: 2 }, async (client) => {
  for (const dice of ["1d6", "2d6", "1d6", "3d6", "1d6", "2d6"]) await client.checkLink({ dice });
  assert.deepEqual(heard.map(({ headers }) => headers["if-none-match"]), [undefined, undefined, '"a"', undefined, '"a"', undefined]);
});
await shows("a POST is not kept", [ok("{}", '"a"'), ok("{}", '"a"')], {}, async (client) => {
  await client.sendPack({ files: [] });
  await client.packs();
  assert.deepEqual(heard.map(({ line }) => line), ["POST /v1/packs", "GET /v1/packs"]);
  assert.equal(heard[1]!.headers["if-none-match"], undefined);
});

await shows("the query is written as the contract says, the key is sent", [ok("{}")], { key: "secret" }, async (client) => {
  await client.checkLink({ dice: "2d6", needs: ["7+", "8+"], tries: 2, exact: true });
  assert.equal(heard[0]!.line, "GET /v1/check?dice=%222d6%22&needs=%5B%227%2B%22%2C%228%2B%22%5D&tries=2&exact=true");
  assert.equal(heard[0]!.headers["x-api-key"], "secret");
  assert.equal(heard[0]!.headers["accept"], "application/json");
});
await shows("a part of a path is one part", [ok("{}")], {}, async (client) => {
  await client.packsPackUnitsUnit("sha256:a/b", "Ä b?", { options: "mast, 2 rifles" });
  assert.equal(heard[0]!.line, "GET /v1/packs/sha256%3Aa%2Fb/units/%C3%84%20b%3F?options=mast%2C%202%20rifles");
});
await shows("events come one by one", [{ body: ': hello\n\nevent: progress\ndata: {"done":1,\ndata: "of":2}\n\nevent: answer\r\ndata: {"turns":6}\r\n\r\nevent: cut\ndata: {' }], {}, async (client) => {
  const events = [];
  for await (const event of client.worthEventsLink()) events.push(event);
  assert.deepEqual(events, [{ event: "progress", data: { done: 1, of: 2 } }, { event: "answer", data: { turns: 6 } }]);
});
await shows("an attempt ends in time", [{ silent: true }], { timeoutMs: 200 }, async (client) => {
  const began = performance.now();
  await assert.rejects(client.check(question), { name: "TimeoutError" });
  assert.ok(performance.now() - began < 5000);
});
await shows("a signal ends the wait", [later(429, { "retry-after": "20" })], {}, async (client) => {
  const began = performance.now();
  await assert.rejects(client.check(question, { signal: AbortSignal.timeout(300) }), { name: "TimeoutError" });
  assert.ok(performance.now() - began < 5000);
});
server.closeAllConnections();
server.close();

await shows("GET and POST give the same numbers", [], {}, async () => {
  const client = new Pipwright(process.argv[2]!);
  const posted = await client.check({ ...question, tries: 3 });
  assert.deepEqual(await client.checkLink({ ...question, tries: 3 }), posted);
  assert.equal(posted.fraction, "7/12");
  assert.ok(Math.abs((posted.all?.chance ?? 0) - (7 / 12) ** 3) < 1e-12);
  const attack = { attacker: { unit: "Ram Barge", models: 3 }, target: { unit: "Heron Carriage" }, situation: { arc: "rear", moved: true }, without: [] };
  const answer = await client.matchup(attack);
  assert.deepEqual(await client.matchupLink(attack), answer);
  // What a matchup says of its chain is a question by itself.
  assert.deepEqual((await client.odds(answer.chain)).destroyed, answer.destroyed);
});
await shows("the service's own ETag is good for a 304", [], {}, async () => {
  const client = new Pipwright(process.argv[2]!);
  const statuses: number[] = [];
  const plain = globalThis.fetch;
  globalThis.fetch = async (...given) => {
    const response = await plain(...given);
    statuses.push(response.status);
    return response;
  };
  assert.deepEqual(await client.checkLink(question), await client.checkLink(question));
  globalThis.fetch = plain;
  assert.deepEqual(statuses.slice(-1), [304]);
});
if (!process.exitCode) console.log(`client_behaves.ts: ${passed} cases passed`);
