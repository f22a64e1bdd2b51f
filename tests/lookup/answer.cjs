/**
 * Answers questions of the Python tests: one JSON line in, one JSON line out.
 *
 * `{"index": data}` sets the index; `{"query": text, "family": number or -1}` ranks; `{"words": text}` folds;
 * `{"slips": [typed, known]}` counts slips.
 */
"use strict";

const fs = require("node:fs");
const path = require("node:path");
const readline = require("node:readline");
const vm = require("node:vm");

for (const name of ["lookup-words.js", "lookup.js"]) {
  const file = path.join(__dirname, "..", "..", "builder", "render", "assets", "js", name);
  vm.runInThisContext(fs.readFileSync(file, "utf8"), { filename: file });
}

const { lookup } = globalThis.Gaugeleaf;
let index;

function answer(question) {
  if (question.index) {
    index = lookup.index(question.index);
    return {};
  }
  if (question.words !== undefined) return { words: lookup.words(question.words), folded: lookup.folded(question.words) };
  if (question.slips) return lookup.slips(...question.slips);
  const { subjects, points, family, unmatched } = lookup.rank(index, question.query, question.family);
  return { hits: Array.from(subjects, (subject, place) => [subject, points[place]]), family, unmatched };
}

readline.createInterface({ input: process.stdin }).on("line", (line) => {
  process.stdout.write(`${JSON.stringify(answer(JSON.parse(line)))}\n`);
});
