/** How fast the page's own code is: `node speed.cjs FILE`, FILE holding one formula with its scope and one sheet. */
"use strict";

const fs = require("node:fs");
const path = require("node:path");
const vm = require("node:vm");

const { formula } = require("./load.cjs");

const FOLDER = path.join(__dirname, "..", "..", "builder", "render", "assets", "js");
for (const name of ["limit.js", "verdict.js", "taken.js", "judge.js"]) {
  vm.runInThisContext(fs.readFileSync(path.join(FOLDER, name), "utf8"), { filename: name });
}

const { exported, scope, shared, program, sheet, job, stage, seconds } = JSON.parse(fs.readFileSync(process.argv[2]));
const { Bench } = globalThis.Gaugeleaf.judging;

/** How many times a second something can be done. */
function rate(once) {
  once();
  const end = process.hrtime.bigint() + BigInt(Math.round(seconds * 1e9));
  let times = 0;
  while (process.hrtime.bigint() < end) {
    once();
    times += 1;
  }
  return times / seconds;
}

const laidOut = formula.scope(scope);
const formulas = rate(() => formula.evaluate(exported, laidOut));
const sheets = rate(() => new Bench(shared, program).judge(sheet, job, stage));
process.stdout.write(`${JSON.stringify({ formulas, sheets })}\n`);
