/** The page's scripts in the order in which a page names them, run as classic scripts; gives `Gaugeleaf`. */
"use strict";

const fs = require("node:fs");
const path = require("node:path");
const vm = require("node:vm");

const SCRIPTS = ["exact.js", "irrational.js", "grid.js", "amount.js", "formula.js", "reading.js"];
const FOLDER = path.join(__dirname, "..", "..", "builder", "render", "assets", "js");

for (const name of SCRIPTS) {
  const file = path.join(FOLDER, name);
  vm.runInThisContext(fs.readFileSync(file, "utf8"), { filename: file });
}

module.exports = globalThis.Gaugeleaf;
