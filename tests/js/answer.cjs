/**
 * Answers questions of the Python tests: one JSON line in, one JSON line out.
 *
 * `{"formulas": [exported], "scope": exported}` gives each value as JSON; `{"units": table}` sets the units;
 * `{"typed": …, "unit": …, "setting": …, "datum": …}` gives what was read or the words of the refusal;
 * `{"judge": …, "uncertainty": …, "limits": {"inForce": …, "aim": …, "wear": …}, "untouched": …}`, limits as they are
 * printed, gives the verdict and its flags.
 */
"use strict";

const fs = require("node:fs");
const path = require("node:path");
const readline = require("node:readline");
const vm = require("node:vm");
const Gaugeleaf = require("./load.cjs");

for (const name of ["limit.js", "verdict.js"]) {
  const file = path.join(__dirname, "..", "..", "builder", "render", "assets", "js", name);
  vm.runInThisContext(fs.readFileSync(file, "utf8"), { filename: file });
}

const { exact, formula, reading, limit, verdict } = Gaugeleaf;
let reader;

/** Read one typed text. */
function read(question) {
  try {
    const read = reader.reading(question.typed, question.unit, { setting: question.setting, datum: question.datum });
    const { text, decimals } = read.number;
    return { base: exact.toText(reading.base(read)), text, decimals, unit: read.unit.symbol };
  } catch (refusal) {
    if (!(refusal instanceof reading.Refusal)) throw refusal;
    return { refused: refusal.message, hint: refusal.hint, start: refusal.start, end: refusal.end };
  }
}

/** A printed limit as a band. */
function band(text, kind) {
  if (text === undefined) return null;
  const { low, high } = limit.readLimit(text, reader);
  const bound = (one) => (one === null ? null : exact.fromText(one));
  return { low: bound(low), high: bound(high), kind };
}

/** One reading against its limits. */
function judge({ judge: typed, uncertainty, limits, untouched }) {
  const base = (text) => reading.base(reader.reading(text, "in", {}));
  const [inForce, aim, wear] = ["inForce", "aim", "wear"].map((kind) => band(limits[kind], kind));
  const found = verdict.decide(base(typed), verdict.squared(base(uncertainty)), { inForce, aim, wear }, untouched);
  return { verdict: found.verdict, flags: found.flags };
}

/** Answer one question. */
function answer(question) {
  if (question.units) {
    reader = reading.reader(question.units);
    return {};
  }
  if (question.typed !== undefined) return read(question);
  if (question.judge !== undefined) return judge(question);
  const scope = formula.scope(question.scope);
  return question.formulas.map((exported) => formula.toJson(formula.evaluate(exported, scope)));
}

readline.createInterface({ input: process.stdin }).on("line", (line) => {
  process.stdout.write(`${JSON.stringify(answer(JSON.parse(line)))}\n`);
});
