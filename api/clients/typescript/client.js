// Long because it is made from the contract by api/clients/make.
import { Core, part } from "./core.js";

export { ProblemError } from "./core.js";

export class Pipwright extends Core {
  livez(options) {
    return this._text("GET", "/livez", { ...options, accept: "text/plain" });
  }

  metrics(options) {
    return this._text("GET", "/metrics", { ...options, accept: "text/plain" });
  }

  packsSchemaJsonLink(options) {
    return this._json("GET", "/packs.schema.json", { ...options, accept: "application/schema+json" });
  }

  readyz(options) {
    return this._text("GET", "/readyz", { ...options, accept: "text/plain" });
  }

  appraisalLink(query, options) {
    return this._json("GET", "/v1/appraisal", { ...options, query, asJson: ["against", "book", "near", "options", "pack", "unit", "weapons"] });
  }

  appraisal(request, options) {
    return this._json("POST", "/v1/appraisal", { ...options, body: request });
  }

  appraisalCsvLink(query, options) {
    return this._text("GET", "/v1/appraisal.csv", { ...options, query, accept: "text/csv" });
  }

  appraisalHtmlLink(query, options) {
    return this._text("GET", "/v1/appraisal.html", { ...options, query, accept: "text/html" });
  }

  appraisalMdLink(query, options) {
    return this._text("GET", "/v1/appraisal.md", { ...options, query, accept: "text/markdown" });
  }

  appraisalPicturesPicture(picture, query, options) {
    return this._bytes("GET", `/v1/appraisal/pictures/${part(picture)}`, { ...options, query, accept: "image/png, image/svg+xml" });
  }

  arcLink(query, options) {
    return this._json("GET", "/v1/arc", { ...options, query, asJson: ["attacker", "book", "hull", "pack", "target", "unit"] });
  }

  arc(request, options) {
    return this._json("POST", "/v1/arc", { ...options, body: request });
  }

  assignLink(query, options) {
    return this._json("GET", "/v1/assign", { ...options, query, asJson: ["attackers", "book", "must", "objective", "pack", "pairs", "situation", "targets"] });
  }

  assign(request, options) {
    return this._json("POST", "/v1/assign", { ...options, body: request });
  }

  batchLink(query, options) {
    return this._json("GET", "/v1/batch", { ...options, query, asJson: ["questions"] });
  }

  batch(request, options) {
    return this._json("POST", "/v1/batch", { ...options, body: request });
  }

  blastLink(query, options) {
    return this._json("GET", "/v1/blast", { ...options, query, asJson: ["aim", "bases", "because", "counts", "formation", "hull", "label", "scatter", "template"] });
  }

  blast(request, options) {
    return this._json("POST", "/v1/blast", { ...options, body: request });
  }

  buildLink(query, options) {
    return this._json("GET", "/v1/build", { ...options, query, asJson: ["against", "book", "exclude", "keep", "objective", "pack"] });
  }

  build(request, options) {
    return this._json("POST", "/v1/build", { ...options, body: request });
  }

  checkLink(query, options) {
    return this._json("GET", "/v1/check", { ...options, query, asJson: ["because", "dice", "keep", "label", "needs", "reroll", "ties", "versus"] });
  }

  check(request, options) {
    return this._json("POST", "/v1/check", { ...options, body: request });
  }

  compareLink(query, options) {
    return this._json("GET", "/v1/compare", { ...options, query, asJson: ["every", "targets", "variants", "want"] });
  }

  compare(request, options) {
    return this._json("POST", "/v1/compare", { ...options, body: request });
  }

  compareListsLink(query, options) {
    return this._json("GET", "/v1/compare-lists", { ...options, query, asJson: ["a", "b", "book", "pack"] });
  }

  compareLists(request, options) {
    return this._json("POST", "/v1/compare-lists", { ...options, body: request });
  }

  drawLink(query, options) {
    return this._json("GET", "/v1/draw", { ...options, query, asJson: ["contents", "ends_on", "wanted"] });
  }

  draw(request, options) {
    return this._json("POST", "/v1/draw", { ...options, body: request });
  }

  duelLink(query, options) {
    return this._json("GET", "/v1/duel", { ...options, query, asJson: ["a", "b", "because", "book", "first", "label", "pack", "situation", "with", "without"] });
  }

  duel(request, options) {
    return this._json("POST", "/v1/duel", { ...options, body: request });
  }

  fairLink(query, options) {
    return this._json("GET", "/v1/fair", { ...options, query, asJson: ["faces", "weights"] });
  }

  fair(request, options) {
    return this._json("POST", "/v1/fair", { ...options, body: request });
  }

  listPointsLink(query, options) {
    return this._json("GET", "/v1/list-points", { ...options, query, asJson: ["book", "lines", "pack", "text"] });
  }

  listPoints(request, options) {
    return this._json("POST", "/v1/list-points", { ...options, body: request });
  }

  luckLink(query, options) {
    return this._json("GET", "/v1/luck", { ...options, query, asJson: ["chain", "check", "duel", "log", "matchup", "repair", "result", "side"] });
  }

  luck(request, options) {
    return this._json("POST", "/v1/luck", { ...options, body: request });
  }

  matchupLink(query, options) {
    return this._json("GET", "/v1/matchup", { ...options, query, asJson: ["attacker", "book", "pack", "situation", "target", "with", "without"] });
  }

  matchup(request, options) {
    return this._json("POST", "/v1/matchup", { ...options, body: request });
  }

  neededLink(query, options) {
    return this._json("GET", "/v1/needed", { ...options, query, asJson: ["chain", "check", "matchup", "want"] });
  }

  needed(request, options) {
    return this._json("POST", "/v1/needed", { ...options, body: request });
  }

  oddsLink(query, options) {
    return this._json("GET", "/v1/odds", { ...options, query, asJson: ["aftermath", "attacks", "because", "by_counter", "counts", "damage", "gate", "label", "steps", "target", "volleys"] });
  }

  odds(request, options) {
    return this._json("POST", "/v1/odds", { ...options, body: request });
  }

  packs(options) {
    return this._json("GET", "/v1/packs", { ...options });
  }

  sendPack(request, options) {
    return this._json("POST", "/v1/packs", { ...options, body: request });
  }

  packsCheckLink(query, options) {
    return this._json("GET", "/v1/packs/check", { ...options, query, asJson: ["files"] });
  }

  packsCheck(request, options) {
    return this._json("POST", "/v1/packs/check", { ...options, body: request });
  }

  packsNamesLink(query, options) {
    return this._json("GET", "/v1/packs/names", { ...options, query, asJson: ["book", "pack"] });
  }

  packsNames(request, options) {
    return this._json("POST", "/v1/packs/names", { ...options, body: request });
  }

  packsPack(pack, options) {
    return this._json("GET", `/v1/packs/${part(pack)}`, { ...options });
  }

  packsPackFiles(pack, options) {
    return this._json("GET", `/v1/packs/${part(pack)}/files`, { ...options });
  }

  packsPackRules(pack, query, options) {
    return this._json("GET", `/v1/packs/${part(pack)}/rules`, { ...options, query });
  }

  packsPackRulesRule(pack, rule, options) {
    return this._json("GET", `/v1/packs/${part(pack)}/rules/${part(rule)}`, { ...options });
  }

  packsPackUnits(pack, query, options) {
    return this._json("GET", `/v1/packs/${part(pack)}/units`, { ...options, query });
  }

  packsPackUnitsUnit(pack, unit, query, options) {
    return this._json("GET", `/v1/packs/${part(pack)}/units/${part(unit)}`, { ...options, query });
  }

  repairLink(query, options) {
    return this._json("GET", "/v1/repair", { ...options, query, asJson: ["because", "compare", "incoming", "label", "needs", "order", "reroll", "restores", "rolls"] });
  }

  repair(request, options) {
    return this._json("POST", "/v1/repair", { ...options, body: request });
  }

  ruleLink(query, options) {
    return this._json("GET", "/v1/rule", { ...options, query, asJson: ["ask", "book", "pack", "rule"] });
  }

  rule(request, options) {
    return this._json("POST", "/v1/rule", { ...options, body: request });
  }

  sideBySideLink(query, options) {
    return this._json("GET", "/v1/side-by-side", { ...options, query, asJson: ["against", "book", "pack", "units"] });
  }

  sideBySide(request, options) {
    return this._json("POST", "/v1/side-by-side", { ...options, body: request });
  }

  sideBySideHtmlLink(query, options) {
    return this._text("GET", "/v1/side-by-side.html", { ...options, query, accept: "text/html" });
  }

  sideBySideMdLink(query, options) {
    return this._text("GET", "/v1/side-by-side.md", { ...options, query, accept: "text/markdown" });
  }

  worthLink(query, options) {
    return this._json("GET", "/v1/worth", { ...options, query, asJson: ["board", "book", "pack", "units"] });
  }

  worth(request, options) {
    return this._json("POST", "/v1/worth", { ...options, body: request });
  }

  worthCsvLink(query, options) {
    return this._text("GET", "/v1/worth.csv", { ...options, query, accept: "text/csv" });
  }

  worthHtmlLink(query, options) {
    return this._text("GET", "/v1/worth.html", { ...options, query, accept: "text/html" });
  }

  worthMdLink(query, options) {
    return this._text("GET", "/v1/worth.md", { ...options, query, accept: "text/markdown" });
  }

  worthEventsLink(query, options) {
    return this._events("GET", "/v1/worth/events", { ...options, query, accept: "text/event-stream" });
  }
}
