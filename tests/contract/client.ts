// A client generated from the contract calls every operation and gets what the contract says, with types that hold.
import { readFileSync } from "node:fs";
import createClient from "openapi-fetch";
import type { paths } from "./contract.js";

const base = process.argv[2];
const contract = JSON.parse(readFileSync(process.argv[3], "utf8"));
// A parameter goes into the query as the contract says: one with a `content` as JSON, one with a `schema` as it is.
const written = (parameters: any[]) => (query: Record<string, unknown>) =>
  Object.entries(query)
    .map(([name, value]) => {
      const asJson = parameters.find((one) => one.in === "query" && one.name === name).content;
      return `${encodeURIComponent(name)}=${encodeURIComponent(asJson ? JSON.stringify(value) : String(value))}`;
    })
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
  querySerializer: written(contract.paths["/v1/check"].get.parameters),
});
if (check.error || !check.data) fail(`check: ${JSON.stringify(check.error)}`);
const wrong = await client.POST("/v1/check", { body: { dice: "2d6", needs: "70001+" } });
if (!wrong.error || wrong.error.status !== 422) fail("a mistake is a problem with a status");

// And every operation, with the contract's own examples.
const essence = (kind: string | null) => (kind ?? "").split(";")[0].trim();
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
    for (const one of parameters.filter((one) => one.required)) {
      if (!(one.name in given(one.in))) fail(`${method} ${path}: the contract has no example of its ${one.name}`);
    }
    const kinds = Object.keys(operation.responses["200"].content ?? {});
    const call = (client as any)[method.toUpperCase()];
    const answer = await call(path, {
      params: { path: given("path"), query: given("query") },
      body: operation.requestBody?.content["application/json"].example,
      parseAs: kinds.includes("application/json") ? "json" : "text",
      querySerializer: written(parameters),
    });
    if (answer.error || answer.response.status !== 200) {
      fail(`${method} ${path}: ${answer.response.status} ${JSON.stringify(answer.error)}`);
    }
    const kind = essence(answer.response.headers.get("content-type"));
    if (!kinds.map(essence).includes(kind)) fail(`${method} ${path}: ${kind} is none of ${kinds}`);
    if (!answer.response.headers.get("x-request-id")) fail(`${method} ${path}: no id`);
    called += 1;
  }
}
console.log(`client: ${called} operations called, all answered as the contract says`);
