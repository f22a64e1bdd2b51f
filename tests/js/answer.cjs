/**
 * Answers questions of the Python tests: one JSON line in, one JSON line out.
 *
 * `{"formulas": [exported], "scope": exported}` gives each value as JSON; `{"units": table}` sets the units;
 * `{"typed": …, "unit": …, "setting": …, "datum": …}` gives what was read or the words of the refusal.
 */
"use strict";

const readline = require("node:readline");
const Gaugeleaf = require("./load.cjs");

const { exact, formula, reading } = Gaugeleaf;
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

/** Answer one question. */
function answer(question) {
  if (question.units) {
    reader = reading.reader(question.units);
    return {};
  }
  if (question.typed !== undefined) return read(question);
  const scope = formula.scope(question.scope);
  return question.formulas.map((exported) => formula.toJson(formula.evaluate(exported, scope)));
}

readline.createInterface({ input: process.stdin }).on("line", (line) => {
  process.stdout.write(`${JSON.stringify(answer(JSON.parse(line)))}\n`);
});
