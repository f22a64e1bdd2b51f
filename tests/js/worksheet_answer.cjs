/**
 * Works worksheets out for the Python tests. The file named first holds `{"shared": …, "sheets": {id: …}}`; then one
 * line in, `{"sheet": id, "given": {…}}`, one line out: every input, every step, and the lines of text.
 */
"use strict";

const fs = require("node:fs");
const path = require("node:path");
const readline = require("node:readline");
const vm = require("node:vm");

const { exact } = require("./load.cjs");

const file = path.join(__dirname, "..", "..", "builder", "render", "assets", "js", "worksheet.js");
vm.runInThisContext(fs.readFileSync(file, "utf8"), { filename: file });

const { shared, sheets } = JSON.parse(fs.readFileSync(process.argv[2], "utf8"));
const worker = globalThis.Gaugeleaf.worksheet.worker(shared);

const text = (value) => (value === null ? null : exact.toText(value));

/** One worksheet worked out. */
function answer({ sheet, given }) {
  const worked = worker.work(sheets[sheet], given);
  return {
    entries: worked.entries.map(({ name, typed, byDefault, read, why, hint }) => ({
      name, typed, byDefault, why, hint, read: read.map(({ number, unit }) => [text(number.value), number.text, unit.symbol]),
    })),
    lines: worked.lines.map((line) => ({ ...line, value: text(line.value) })),
    text: worker.lines(sheets[sheet], worked),
  };
}

readline.createInterface({ input: process.stdin }).on("line", (line) => {
  process.stdout.write(`${JSON.stringify(answer(JSON.parse(line)))}\n`);
});
