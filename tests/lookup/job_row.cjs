/**
 * Unpacks rows as the page *Find a value* does: the data of a manual and of a job in (one JSON object on standard
 * input), the rows of the job's family as they stand on the job out.
 */
"use strict";

const fs = require("node:fs");
const path = require("node:path");
const vm = require("node:vm");

for (const name of ["lookup-words.js", "lookup.js", "lookup-rows.js", "lookup-job.js"]) {
  const file = path.join(__dirname, "..", "..", "builder", "render", "assets", "js", name);
  vm.runInThisContext(fs.readFileSync(file, "utf8"), { filename: file });
}

const { Gaugeleaf } = globalThis;
const { manual, job: text } = JSON.parse(fs.readFileSync(0, "utf8"));
const index = Gaugeleaf.lookup.index(JSON.parse(manual.index));
const job = Gaugeleaf.lookupOnJob.parsed(text);
const family = manual.families.findIndex((each) => each[0] === job.engine);
const rows = Gaugeleaf.lookupOnJob.rowsOn(Gaugeleaf.lookupRows(manual, index), index.subjects, manual.families, { job });
const found = {};
index.subjects.forEach((name, subject) => {
  for (const row of rows.of(subject, family, 1)) found[name] = row;
});
process.stdout.write(JSON.stringify(found));
