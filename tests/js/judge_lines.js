/**
 * Judges sheets for the tests: programs from the file named first, then one case a line on standard input, one
 * answer a line on standard output.
 */
"use strict";

const fs = require("node:fs");
const path = require("node:path");
const readline = require("node:readline");

const SCRIPTS = path.join(__dirname, "../../builder/render/assets/js");
for (const name of ["exact", "irrational", "grid", "amount", "formula", "reading", "verdict", "judge"]) {
  require(path.join(SCRIPTS, `${name}.js`));
}
const { exact, judging } = globalThis.Gaugeleaf;
const { shared, programs } = JSON.parse(fs.readFileSync(process.argv[2], "utf8"));
const benches = new Map(Object.entries(programs).map(([name, program]) => [name, new judging.Bench(shared, program)]));

const text = (value) => (value === null ? null : exact.toText(value));

/** A judgement with its value as text, without what only the page needs. */
function plain({ key, hint, value, by, ...rest }) {
  return { ...rest, value: text(value), by: by && [by.kind, text(by.low), text(by.high)] };
}

readline.createInterface({ input: process.stdin }).on("line", (line) => {
  const { program, sheet, job, stage } = JSON.parse(line);
  const { judgements, corrections } = benches.get(program).judge(sheet, job, stage);
  const answer = {
    judgements: judgements.map(plain),
    corrections: corrections.map((one) => ({ ...one, amount: text(one.amount) })),
  };
  process.stdout.write(`${JSON.stringify(answer)}\n`);
});
