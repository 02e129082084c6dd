// A client generated from the contract calls every operation and gets what the contract says, with types that hold.
import { readFileSync } from "node:fs";
import createClient from "openapi-fetch";
import type { paths } from "./contract.js";

const base = process.argv[2];
const contract = JSON.parse(readFileSync(process.argv[3], "utf8"));
// Text, lists and nested fields of a link are written as JSON, as the contract says.
const link = (query: Record<string, unknown>) =>
  Object.entries(query)
    .filter(([, value]) => value !== undefined)
    .map(([name, value]) => `${encodeURIComponent(name)}=${encodeURIComponent(JSON.stringify(value))}`)
    .join("&");
const client = createClient<paths>({ baseUrl: base });

let called = 0;
const fail = (what: string): never => {
  console.error(`client: ${what}`);
  process.exit(1);
};

// Typed by hand once: the compiler checks names and values against the contract.
const odds = await client.POST("/v1/odds", {
  body: { attackers: 3, steps: [{ name: "hit", needs: "4+" }], target: { models: 5 } },
});
if (odds.error || !odds.data) fail(`odds: ${JSON.stringify(odds.error)}`);
const check = await client.GET("/v1/check", {
  params: { query: { dice: "2d6", needs: "7+", tries: 3 } },
  querySerializer: link,
});
if (check.error || !check.data) fail(`check: ${JSON.stringify(check.error)}`);
const wrong = await client.POST("/v1/check", { body: { dice: "2d6", needs: "70001+" } });
if (!wrong.error || wrong.error.status !== 422) fail("a mistake is a problem with a status");

// And every operation, with the contract's own examples.
for (const [path, item] of Object.entries<any>(contract.paths)) {
  for (const [method, operation] of Object.entries<any>(item)) {
    const parameters: any[] = operation.parameters ?? [];
    const given = (where: string) =>
      Object.fromEntries(
        parameters
          .filter((one) => one.in === where)
          .map((one) => [one.name, one.example ?? one.content?.["application/json"]?.example])
          .filter(([, value]) => value !== undefined),
      );
    const plain = path.includes("{") || path === "/v1/packs";
    const call = (client as any)[method.toUpperCase()];
    const answer = await call(path, {
      params: { path: given("path"), query: given("query") },
      body: operation.requestBody?.content["application/json"].example,
      parseAs: path.startsWith("/v1/") ? "json" : "text",
      ...(plain ? {} : { querySerializer: link }),
    });
    if (answer.error || answer.response.status !== 200) {
      fail(`${method} ${path}: ${answer.response.status} ${JSON.stringify(answer.error)}`);
    }
    if (!answer.response.headers.get("x-request-id")) fail(`${method} ${path}: no id`);
    called += 1;
  }
}
console.log(`client: ${called} operations called, all answered as the contract says`);
