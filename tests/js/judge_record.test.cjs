/** What may be written into a record, and how; run by `node --test`. */
"use strict";

const assert = require("node:assert/strict");
const path = require("node:path");
const { test } = require("node:test");

require(path.join(__dirname, "../../builder/render/assets/js/record.js"));
require(path.join(__dirname, "../../builder/render/assets/js/signing.js"));
const { record, signing } = globalThis.Gaugeleaf;

const NAMES = { job: "T-1", engine: "tallow-four", procedure: "fit-mains", edition: "0a1b2c3d", run: "final" };
const PLACE = { step: "measure", name: "journal", at: { main: "1", plane: "front", axis: "T" }, stage: "final" };
const entry = (typed, when = "2026-03-16T10:00:00Z") =>
  ({ typed, unit: "in", gauge: "OM-14", setting: "", by: "L.M.", when });
const PEOPLE = { "L.M.": { role: ["builder", "second"] }, "K.O.": { role: ["second"] }, "A.B.": { role: ["apprentice"] } };
const HOLD = { id: "bearings-witnessed", code: "H11", by: ["second"], covers: true };

test("a reading stands at its place, whatever the order of its labels", () => {
  const filled = record.enter(record.blank(NAMES), PLACE, entry("2.6138"));

  const turned = { ...PLACE, at: { axis: "T", main: "1", plane: "front" } };
  assert.equal(record.standing(filled, turned).typed, "2.6138");
  assert.equal(record.standing(filled, { ...PLACE, stage: "as_found" }), undefined);
});

test("a change keeps the old value with its reason", () => {
  const filled = record.enter(record.blank(NAMES), PLACE, entry("2.6183"));

  const changed = record.explain(record.correct(filled, PLACE, entry("2.6138"), ""), PLACE, "slip of the pen");

  assert.deepEqual(changed.readings.map((one) => [one.typed, one.try]), [["2.6138", 1]]);
  assert.deepEqual(changed.corrections.map((one) => [one.was, one.why, one.of.try]), [["2.6183", "slip of the pen", 1]]);
  assert.equal(filled.readings[0].typed, "2.6183");
});

test("a measurement after work is a new try, and the old reading stays a reading", () => {
  const filled = record.enter(record.blank(NAMES), PLACE, entry("2.6138"));

  const again = record.measureAgain(filled, PLACE, entry("2.6136"));

  assert.deepEqual(again.readings.map((one) => [one.typed, one.try]), [["2.6138", 1], ["2.6136", 2]]);
  assert.equal(record.standing(again, PLACE).typed, "2.6136");
  assert.deepEqual(record.history(again, PLACE).map((one) => [one.typed, one.struck]), [["2.6138", false]]);
});

test("a correction may turn out to have been a new try", () => {
  const filled = record.enter(record.blank(NAMES), PLACE, entry("2.6138"));

  const again = record.asNewTry(record.correct(filled, PLACE, entry("2.6136"), ""), PLACE);

  assert.deepEqual(again.readings.map((one) => [one.typed, one.try]), [["2.6138", 1], ["2.6136", 2]]);
  assert.deepEqual(again.corrections, []);
});

test("a reading taken away stays among the corrections", () => {
  const filled = record.enter(record.blank(NAMES), PLACE, entry("2.6138"));

  const struck = record.strike(filled, PLACE, "", "L.M.", "2026-03-16T10:01:00Z");

  assert.deepEqual([struck.readings.length, struck.corrections[0].was], [0, "2.6138"]);
});

test("nobody signs for a second person who did the work, whatever their roles", () => {
  const filled = record.enter(record.blank(NAMES), PLACE, entry("2.6138"));

  const answers = ["", "L.M.", "A.B.", "K.O.", "X.Y."].map((by) => signing.refusal(filled, { people: PEOPLE }, new Set(), "second", by, "2026-03-16T12:00:00Z"));

  assert.deepEqual(answers, [
    "Choose who signs.",
    "L.M. did the work on this sheet. The second person must be someone else.",
    "A.B. does not sign as second person on this job.",
    "",
    "X.Y. does not sign as second person on this job.",
  ]);
});

test("a hold is open until it is signed, and open again once what it covers was changed", () => {
  const steps = new Set(["measure"]);
  const filled = record.enter(record.blank(NAMES), PLACE, entry("2.6138"));
  const signed = signing.sign(filled, HOLD.id, "second", "K.O.", "2026-03-16T11:00:00Z");
  const elsewhere = record.enter(signed, { ...PLACE, step: "later" }, entry("1", "2026-03-16T12:00:00Z"));
  const changed = record.correct(signed, PLACE, entry("2.6139", "2026-03-16T12:00:00Z"), "read again");

  assert.equal(signing.openHold(filled, {}, HOLD, steps), "H11 is not signed by the second person.");
  assert.equal(signing.openHold(signed, {}, HOLD, steps), "");
  assert.equal(signing.openHold(elsewhere, {}, HOLD, steps), "");
  assert.match(signing.openHold(changed, {}, HOLD, steps), /^H11 is open again: journal at main 1, .* changed after/u);
  assert.equal(signing.openHold(changed, {}, { ...HOLD, covers: false }, steps), "");
});

test("a signature does not count once its owner did the work", () => {
  const signed = signing.sign(record.blank(NAMES), HOLD.id, "second", "K.O.", "2026-03-16T11:00:00Z");

  const worked = record.tick(signed, "measure", true, "K.O.", "2026-03-16T10:00:00Z");

  assert.equal(signing.openHold(worked, {}, HOLD, new Set()), "H11 is signed by K.O., who did the work: it does not count.");
});

test("passes are counted by step, rule and position; one without a position counts for all", () => {
  let filled = record.blank(NAMES);
  for (const [rule, at] of [[0, { main: "1" }], [1, { main: "1" }], [0, { main: "3" }], [0, { main: "1" }], [0, {}]]) {
    filled = record.pass(filled, "measure", rule, at, "0.0003 in", "L.M.", "2026-03-16T10:00:00Z");
  }

  assert.deepEqual(record.passesOf(filled, "measure", 0, { main: "1" }).map((one) => one.pass), [1, 2, 1]);
  assert.equal(record.passesOf(filled, "measure", 0, { main: "3" }).length, 2);
  assert.equal(record.passesOf(filled, "measure", 0, { main: "4" }).length, 1);
});

test("what is not done is found at every place that it is about", () => {
  const filled = record.skip(record.blank(NAMES), { ...PLACE, name: "", at: { main: "1" } }, "no cap", "L.M.", "2026-03-16");

  assert.equal(record.skipAt(filled, PLACE).reason, "no cap");
  assert.equal(record.skipAt(filled, { ...PLACE, at: { ...PLACE.at, main: "2" } }), undefined);
  assert.deepEqual([...record.skippedSteps(filled)], []);
  assert.deepEqual(record.takeBack(filled, "skipped", filled.skipped[0]).skipped, []);
});

test("in a shop of one the builder signs for the second after a second set of readings, taken later", () => {
  const steps = new Set(["measure"]);
  const job = { people: PEOPLE, shop_of_one: true };
  const other = { ...PLACE, at: { ...PLACE.at, axis: "A" } };
  let filled = record.enter(record.blank(NAMES), PLACE, entry("2.6138"));
  filled = record.enter(filled, other, entry("2.6138", "2026-03-16T10:05:00Z"));
  const early = record.measureAgain(filled, PLACE, entry("2.6138", "2026-03-16T10:04:00Z"));
  const half = record.measureAgain(filled, PLACE, entry("2.6138", "2026-03-16T10:30:00Z"));
  const whole = record.measureAgain(half, other, entry("2.6137", "2026-03-16T10:31:00Z"));
  const refusal = (of, when) => signing.refusal(of, job, steps, "second", "L.M.", when);
  const signed = signing.sign(whole, HOLD.id, "second", "L.M.", "2026-03-16T11:00:00Z");

  for (const of of [filled, early, half]) assert.match(refusal(of, "2026-03-16T11:00:00Z"), /taken a second time first/u);
  assert.match(refusal(whole, "2026-03-16T10:30:30Z"), /taken a second time first/u);
  assert.equal(refusal(whole, "2026-03-16T11:00:00Z"), "");
  assert.equal(signing.openHold(signed, job, HOLD, steps), "");
  assert.equal(signing.self(signed, job, steps, signed.holds[0]), "self, re-measured");
  assert.match(signing.openHold(signed, { people: PEOPLE }, HOLD, steps), /did the work: it does not count/u);
});

test("what is written is read again word for word", () => {
  let filled = record.enter(record.blank(NAMES), PLACE, entry("2.6138"));
  filled = record.correct(filled, PLACE, entry("2.6139"), "read again");
  filled = record.look(filled, { step: "measure", name: "surface", at: { main: "1" } }, "yes", "L.M.", "2026-03-16T10:00:00Z");
  filled = record.pass(filled, "measure", 0, { main: "1" }, "0.0002 in", "L.M.", "2026-03-16T10:00:00Z");
  filled = record.skip(filled, { step: "caps", name: "", at: {} }, "no caps here", "L.M.", "2026-03-16T10:00:00Z");
  filled = record.photo(filled, "caps", "0117.jpg", "the mark", "L.M.", "2026-03-16T10:00:00Z");
  filled = record.remark(filled, "caps", "stiff", "L.M.", "2026-03-16T10:00:00Z");
  filled = record.note(filled, "Cap 2 was dressed.", "L.M.", "2026-03-16T10:00:00Z");

  assert.deepEqual(record.fromText(record.toText(filled)), { record: filled, fault: "" });
});

test("a record without its optional words is completed", () => {
  const bare = { ...NAMES, sheet: 1, readings: [{ ...PLACE, typed: "2.6138", unit: "in", by: "L.M.", when: "2026-03-16" }] };

  const { record: found } = record.fromText(JSON.stringify(bare));

  assert.deepEqual([found.room, found.ticks, found.readings[0].try, found.readings[0].gauge], ["", [], 1, ""]);
});

test("a broken record is refused with the entry that is wrong", () => {
  const bad = (change) => record.fromText(JSON.stringify({ ...NAMES, sheet: 1, ...change })).fault;

  assert.equal(bad({ run: "third" }), "`run` is not as it should be");
  assert.equal(bad({ stranger: 1 }), "`stranger` is not as it should be");
  assert.equal(bad({ readings: {} }), "`readings` is not a list");
  assert.equal(bad({ ticks: [{ step: "caps", by: "L.M." }] }), "`when` of entry 1 in `ticks` is not as it should be");
  assert.equal(bad({ looks: [{ step: "a", name: "b", seen: "perhaps", by: "c", when: "d" }] }),
    "`seen` of entry 1 in `looks` is not as it should be");
});

test("a file is named after job, procedure and run, in letters that every disk takes", () => {
  const named = (job, run) => record.fileName({ ...record.blank(NAMES), job, run });

  assert.equal(named("T-0217", "final"), "T-0217-fit-mains.json");
  assert.equal(named("P 33/1 ü", "mock_up"), "P-33-1-fit-mains-mock-up.json");
});
