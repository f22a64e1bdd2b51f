/**
 * Judges sheets for the Python tests. The file named first holds `{"shared": …, "programs": {name: …}}`; then one
 * line in, `{"program": name, "sheet": …, "job": …, "stage": …}` or `{"limit": text}`, one line out;
 * with `"step": true` the sheet is filled in step by step.
 */
"use strict";

const fs = require("node:fs");
const path = require("node:path");
const readline = require("node:readline");
const vm = require("node:vm");

const { exact } = require("./load.cjs");

const FOLDER = path.join(__dirname, "..", "..", "builder", "render", "assets", "js");
for (const name of ["limit.js", "verdict.js", "taken.js", "judge.js"]) {
  const file = path.join(FOLDER, name);
  vm.runInThisContext(fs.readFileSync(file, "utf8"), { filename: file });
}

const { Bench } = globalThis.Gaugeleaf.judging;
const { shared, programs } = JSON.parse(fs.readFileSync(process.argv[2], "utf8"));
const benches = new Map(Object.entries(programs).map(([name, program]) => [name, new Bench(shared, program)]));

const reader = globalThis.Gaugeleaf.reading.reader(shared.units);

const text = (value) => (value === null ? null : exact.toText(value));

/** A judgement with its numbers as texts, without what only the page needs. */
function plain({ key, hint, value, by, ...rest }) {
  return { ...rest, value: text(value), by: by && [by.kind, text(by.low), text(by.high)] };
}

/** One sheet judged, or one limit read. */
function answer({ program, sheet, job, stage, limit, step }) {
  if (step) return grown({ program, sheet, job, stage });
  if (limit !== undefined) return globalThis.Gaugeleaf.limit.readLimit(limit, reader);
  const { judgements, corrections } = benches.get(program).judge(sheet, job, stage);
  return {
    judgements: judgements.map(plain),
    corrections: corrections.map((one) => ({ ...one, amount: text(one.amount) })),
  };
}

/** A sheet filled in reading by reading on one bench: the first state in which a fresh bench says otherwise, or -1. */
function grown({ program, sheet, job, stage }) {
  const bench = benches.get(program);
  const said = (of, readings) => {
    const { judgements, corrections } = of.judge({ ...sheet, readings }, job, stage);
    return JSON.stringify([judgements.map(plain), corrections.map((one) => ({ ...one, amount: text(one.amount) }))]);
  };
  const every = sheet.readings;
  const filled = every.map((_, number) => every.slice(0, number + 1));
  const without = every.map((_, number) => every.filter((__, index) => index !== number));
  const wrong = [...filled, ...without].findIndex((readings) =>
    said(bench, readings) !== said(new Bench(shared, programs[program]), readings));
  return { wrong };
}

readline.createInterface({ input: process.stdin }).on("line", (line) => {
  process.stdout.write(`${JSON.stringify(answer(JSON.parse(line)))}\n`);
});
