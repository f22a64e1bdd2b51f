/**
 * The browser's evaluator of formulas exported by `export.py`, version 1; needs `exact.js`, `irrational.js`,
 * `grid.js` and `amount.js`. Every number comes and goes as an exact `"n/d"`; what has no value says why in the
 * words of the Python evaluator.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const exact = Gaugeleaf.exact;
  const { grid, single, combine, reduce, pick, neighbour } = Gaugeleaf.grid;
  const {
    amount, missing, isMissing, isAmount, readingKey, readingsBehind, mean, gather, curve, thermometer, stepped,
    OPERATIONS, SIGNS,
  } = Gaugeleaf.amount;
  const VERSION = 1;
  const LAST = missing("the last one has no neighbour after it", true);

  const none = (reason) => single(missing(reason));
  const map = (object, change) => new Map(Object.entries(object || {}).map(([name, one]) => [name, change(one)]));

  /** A cell from its JSON form. */
  function cellOf(json) {
    if (json.missing !== undefined) return missing(json.missing, Boolean(json.nothing_there));
    const approximate = Boolean(json.approximate);
    if (json.holds !== undefined) {
      const sources = new Set(json.sources.map(([name, at]) => readingKey(name, at)));
      return { holds: json.holds, sources, approximate };
    }
    const effects = (json.effects || []).map(([name, at, effect]) => [readingKey(name, at), exact.fromText(effect)]);
    return amount(exact.fromText(json.value), new Map(effects), approximate);
  }

  /** A grid from its JSON form. */
  function gridOf(json) {
    return grid(new Map(json.dims), json.cells.map(cellOf));
  }

  /**
   * Make a scope from the JSON of `export_scope`; any part may be wanting.
   * @param {object} json @returns {object} to be given to `evaluate`
   */
  function scope(json) {
    return {
      values: map(json.values, gridOf),
      pairs: map(json.pairs, (pair) => ({ least: gridOf(pair.least), most: gridOf(pair.most) })),
      limits: map(json.limits, (sides) => map(sides, gridOf)),
      steps: map(json.steps, (steps) => steps.map(exact.fromText)),
      links: map(json.links, (link) => ({ on: link.on, meets: new Map(Object.entries(link.meets)) })),
    };
  }

  /** The sentence for a reading that was not taken. @param {string} name @param {Map<string, string>} place */
  function notRead(name, place) {
    const where = [...place].map(([dim, label]) => `${dim} ${label}`).join(", ");
    return where ? `\`${name}\` is not read at ${where}` : `\`${name}\` is not read`;
  }

  /**
   * Readings of one name as a grid for `scope.values`, each its own source.
   * @param {string} name @param {Map<string, string[]>} dims
   * @param {(object|null)[]} values exact rationals in base units in the order of the positions; null: not read
   */
  function readings(name, dims, values) {
    const cells = Gaugeleaf.grid.positions(dims).map((place, index) => {
      const value = values[index];
      if (value === null) return missing(notRead(name, place));
      return amount(value, new Map([[readingKey(name, [...place.values()]), exact.ONE]]));
    });
    return grid(dims, cells);
  }

  /** A complaint becomes a sentence about the node. */
  function worded(node, result) {
    return typeof result === "string" ? missing(`\`${node.text}\` ${result}`) : result;
  }

  /** A result; where there is none, what its parts miss already, else why they do not go together. */
  function settled(node, grids, result) {
    if (typeof result !== "string") return result;
    const lost = grids.flatMap((one) => one.cells).find(isMissing);
    return lost ? single(lost) : none(`\`${node.text}\` cannot be worked out: ${result}`);
  }

  /** Work out the parts and combine them position by position; the first missing is passed on. */
  function applied(node, parts, within, operation) {
    const grids = parts.map((part) => value(part, within));
    const guarded = (...cells) => cells.find(isMissing) || worded(node, operation(...cells));
    return settled(node, grids, combine(guarded, grids, within.links));
  }

  /** The value of a name: of the scope first, then what was exported with it (pi, a unit's factor). */
  function named(node, within) {
    const name = node.text;
    if (within.values.has(name)) return within.values.get(name);
    if (within.limits.has(name)) return bare(name, within.limits.get(name));
    if (within.pairs.has(name)) return none(`\`${name}\` has a least and a most: say which`);
    if (within.steps.has(name)) return none(`\`${name}\` is a list, not a value`);
    if (node.value === undefined) return none(`\`${name}\` is not known here`);
    return single(amount(exact.fromText(node.value)));
  }

  /** The value of a bare characteristic: there is one only where both limits are the same. */
  function bare(name, sides) {
    const [low, high] = [sides.get("low"), sides.get("high")];
    const one = low && high && JSON.stringify(toJson(low)) === JSON.stringify(toJson(high));
    return one ? low : none(`\`${name}\` has limits, not one value: say low, high or mid`);
  }

  /** `max(journal, axis)` along dimensions, or `max(a, b)` position by position. */
  function reduced(node, within) {
    const gathered = (cells) => worded(node, gather(node.function, cells));
    const [first, ...rest] = node.parts;
    const whole = value(first, within);
    const removed = rest.map((part) => part.text).filter((word) => whole.dims.has(word));
    if (removed.length > 0 && removed.length === rest.length) return reduce(gathered, whole, removed);
    if (removed.length > 0 || rest.length === 0) {
      return none(`\`${node.text}\` names neither dimensions nor values only`);
    }
    const grids = [whole, ...rest.map((part) => value(part, within))];
    return settled(node, grids, combine((...cells) => gathered(cells), grids, within.links));
  }

  /** `pick(bore, axis, V)`. */
  function picked(node, within) {
    const [first, dim, ...labels] = node.parts;
    const whole = value(first, within);
    return settled(node, [whole], pick(whole, dim.text, labels.map((label) => label.text)));
  }

  /** `neighbour(stand_proud, cylinder)`. */
  function neighboured(node, within) {
    const whole = value(node.parts[0], within);
    return settled(node, [whole], neighbour(whole, node.parts[1].text, LAST));
  }

  /** `low(main.clearance)`, `least(clearance)` and their kin. */
  function ended(node, within) {
    const name = node.parts[0].text;
    if (within.pairs.has(name) && (node.function === "least" || node.function === "most")) {
      return within.pairs.get(name)[node.function];
    }
    if (within.limits.has(name)) return ENDS[node.function](name, within.limits.get(name));
    return none(`\`${name}\` has no limits here`);
  }

  const side = (name, of, words) => of || none(`\`${name}\` has no ${words} limit`);
  const low = (name, sides) => side(name, sides.get("low"), "lower");
  const high = (name, sides) => side(name, sides.get("high"), "upper");
  const mid = (name, sides) => middle(low(name, sides), high(name, sides));

  /** The middle of the aim; of the limit in force where nothing narrower is aimed at. */
  function midAim(name, sides) {
    if (!sides.has("aim_low") && !sides.has("aim_high")) return mid(name, sides);
    const foot = side(name, sides.get("aim_low"), "lower aim");
    return middle(foot, side(name, sides.get("aim_high"), "upper aim"));
  }

  /** Half way between two ends. */
  function middle(foot, top) {
    const half = (one, other) => (isAmount(one) && isAmount(other) ? mean([one, other]) : isMissing(one) ? one : other);
    const result = combine(half, [foot, top], new Map());
    return typeof result === "string" ? none(result) : result;
  }

  const ENDS = { low, least: low, high, most: high, mid, mid_aim: midAim };

  /** `first_at_least(bore.oversizes, needed)`. */
  function chosen(node, within) {
    const [list, wanted] = node.parts;
    const sizes = listed(list, within);
    return Array.isArray(sizes) ? applied(node, [wanted], within, stepped(node.function, sizes)) : single(sizes);
  }

  /** The sizes of a list, written out or by the name of a characteristic; else a missing cell. */
  function listed(node, within) {
    if (node.is !== "steps") {
      const sizes = within.steps.get(node.text) || [];
      return sizes.length > 0 ? sizes : missing(`\`${node.text}\` lists no sizes here`);
    }
    const cells = node.parts.flatMap((part) => value(part, within).cells);
    if (cells.every(isAmount)) return cells.map((cell) => cell.value);
    return cells.find(isMissing) || missing(`\`${node.text}\` is not a list of sizes`);
  }

  const NODES = {
    number: (node) => single(amount(exact.fromText(node.value))),
    name: named,
    sign: (node, within) => applied(node, node.parts, within, SIGNS[node.sign]),
    operation: (node, within) => applied(node, node.parts, within, OPERATIONS[node.sign]),
    steps: (node) => none(`\`${node.text}\` is a list, not a value`),
    reduce: reduced,
    pick: picked,
    neighbour: neighboured,
    bound: ended,
    step: chosen,
    curve: (node, within) =>
      applied(node, node.parts, within, curve(node.function, node.radian && exact.fromText(node.radian))),
    degrees: (node, within) =>
      applied(node, node.parts, within, thermometer(exact.fromText(node.factor), exact.fromText(node.offset))),
  };

  /** Work out any node. */
  function value(node, within) {
    return NODES[node.is](node, within);
  }

  /**
   * Work a formula out.
   * @param {{formula: number, node: object}} exported by `export.py`
   * @param {object} within made by `scope`
   * @returns {Grid} of amounts with their effects, truths, or missing cells
   */
  function evaluate(exported, within) {
    if (exported.formula !== VERSION) throw new Error(`formula version ${exported.formula} is not ${VERSION}`);
    return value(exported.node, within);
  }

  /** A cell in the JSON form of `export_cell`. */
  function cellToJson(cell) {
    if (isMissing(cell)) {
      return { missing: cell.missing, ...(cell.nothing_there ? { nothing_there: true } : {}) };
    }
    const rough = cell.approximate ? { approximate: true } : {};
    const behind = [...readingsBehind(cell)];
    if (!isAmount(cell)) return { holds: cell.holds, sources: behind.map((key) => JSON.parse(key)), ...rough };
    const effects = behind.map((key) => [...JSON.parse(key), exact.toText(cell.effects.get(key))]);
    return { value: exact.toText(cell.value), effects, ...rough };
  }

  /** A grid in the JSON form of `export_scope`. @param {Grid} of */
  function toJson(of) {
    return { dims: [...of.dims], cells: of.cells.map(cellToJson) };
  }

  Gaugeleaf.formula = Object.freeze({ scope, readings, notRead, evaluate, toJson });
})();
