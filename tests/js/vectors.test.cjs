/** The vectors of tests/vectors through the browser's scripts, from typed readings to values. */
"use strict";

const assert = require("node:assert/strict");
const fs = require("node:fs");
const path = require("node:path");
const { test } = require("node:test");
const Gaugeleaf = require("./load.cjs");

const { exact, formula, reading } = Gaugeleaf;
const load = (name) => JSON.parse(fs.readFileSync(path.join(__dirname, "..", "vectors", name), "utf8"));
const map = (object, change) => new Map(Object.entries(object || {}).map(([name, one]) => [name, change(one, name)]));

const exported = load("exported.json");
const reader = reading.reader(load("units.json"));
const base = (typed, unit) => reading.base(reader.reading(typed, unit));

/** Typed readings as a grid. */
function grid(given, name) {
  const values = given.typed.map((typed) => (typed ? base(typed, given.unit) : null));
  return formula.readings(name, new Map(Object.entries(given.over)), values);
}

/** Limits as grids of one cell each. */
function limits(given) {
  const sides = ["low", "high", "aim_low", "aim_high"].filter((side) => given[side] !== undefined);
  return Object.fromEntries(sides.map((side) => [
    side, { dims: [], cells: [{ value: exact.toText(base(given[side], given.unit)), effects: [] }] }]));
}

/** The scope of a case. */
function scopeOf(one) {
  const json = {
    limits: Object.fromEntries(map(one.limits, limits)),
    steps: Object.fromEntries(map(one.steps, (given) => given.sizes.map((size) => exact.toText(base(size, given.unit))))),
    links: one.links,
  };
  const pairs = map(one.pairs, (given, name) => ({ least: grid(given.least, name), most: grid(given.most, name) }));
  return { ...formula.scope(json), values: map(one.readings, grid), pairs };
}

/** A decimal of any length as an exact number. */
function decimal(text) {
  const places = BigInt((text.split(".")[1] || "").length);
  return exact.make(BigInt(text.replace(".", "")), 10n ** places);
}

/** What a cell gives, in the form in which the vector wants it. */
function gives(cell, wanted, unit) {
  if (cell.missing !== undefined) return { missing: cell.missing };
  if (cell.holds !== undefined) return cell.holds;
  const shown = reading.inUnit(cell.value, reader.unit(unit));
  if (wanted.about === undefined) {
    return exact.compare(shown, decimal(wanted)) === 0 ? wanted : exact.toText(shown);
  }
  const off = exact.absolute(exact.subtract(shown, decimal(wanted.about)));
  return exact.compare(off, decimal(wanted.within)) <= 0 ? wanted : exact.toText(shown);
}

/** The effects of a cell, keyed as the vectors write them. */
function effects(cell) {
  return Object.fromEntries([...cell.effects].map(([key, effect]) => {
    const [name, at] = JSON.parse(key);
    return [`${name} ${at.join(",")}`, exact.toText(effect)];
  }));
}

for (const file of ["mains-and-bores.json", "calculations.json", "edges.json"]) {
  for (const one of load(file).cases) {
    test(`${file}: ${one.name}`, () => {
      const scope = scopeOf(one);
      for (const asked of one.formulas) {
        const value = formula.evaluate(exported[asked.formula], scope);
        assert.deepEqual(Object.fromEntries(value.dims), asked.over, asked.formula);
        const given = value.cells.map((cell, index) => gives(cell, asked.gives[index], asked.unit));
        assert.deepEqual(given, asked.gives, asked.formula);
        if (asked.effects) assert.deepEqual(value.cells.map(effects), asked.effects, asked.formula);
      }
    });
  }
}
