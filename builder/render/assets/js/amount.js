/**
 * What one cell holds, and what signs and functions do to it; the browser's half of `amount.py`, `curves.py` and
 * `operations.py`; needs `exact.js` and `irrational.js`.
 *
 * A cell is an amount with the effect of every reading behind it, a truth with the readings it rests on, or why
 * there is none. An operation gives a cell, or a string: the end of a sentence about the node.
 *
 * @typedef {{value: Rational, effects: Map<string, Rational>, approximate: boolean}} Amount
 * @typedef {{holds: boolean, sources: Set<string>, approximate: boolean}} Truth
 * @typedef {{missing: string, nothing_there: boolean}} Missing
 * @typedef {Amount | Truth | Missing} Cell
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const exact = Gaugeleaf.exact;
  const irrational = Gaugeleaf.irrational;
  const { ZERO, ONE } = exact;
  const MINUS_ONE = exact.whole(-1n);
  const NO_EFFECTS = new Map();
  const BITS = 65536n;
  const STEEPEST = exact.whole(1000n);
  const TOO_LARGE = "grows too large to work out";

  /** @returns {Amount} */
  function amount(value, effects = NO_EFFECTS, approximate = false) {
    return { value, effects, approximate };
  }

  /** @returns {Missing} */
  function missing(reason, nothingThere = false) {
    return { missing: reason, nothing_there: nothingThere };
  }

  const isMissing = (cell) => cell.missing !== undefined;
  const isAmount = (cell) => cell.value !== undefined;
  const isTruth = (cell) => cell.holds !== undefined;
  const isRough = (cell) => cell.approximate;

  /** The key of a reading in `effects` and `sources`. */
  function readingKey(name, at) {
    return JSON.stringify([name, at]);
  }

  /** The readings behind a cell. @returns {Iterable<string>} */
  function readingsBehind(cell) {
    if (isAmount(cell)) return cell.effects.keys();
    return isTruth(cell) ? cell.sources : [];
  }

  /** The sum of effects, each scaled: the chain rule. @param {[Map<string, Rational>, Rational][]} parts */
  function merged(parts) {
    const total = new Map();
    for (const [effects, factor] of parts) {
      for (const [reading, effect] of effects) {
        total.set(reading, exact.add(total.get(reading) || ZERO, exact.multiply(effect, factor)));
      }
    }
    return total;
  }

  /** A function of one amount: its value there and its slope there. */
  function scaled(of, value, slope, approximate = false) {
    return amount(value, merged([[of.effects, slope]]), of.approximate || approximate);
  }

  /** A function of two amounts: its value there and both slopes. */
  function bound(left, right, value, bySlope) {
    const effects = merged([[left.effects, bySlope[0]], [right.effects, bySlope[1]]]);
    return amount(value, effects, left.approximate || right.approximate);
  }

  const sum = (left, right) => bound(left, right, exact.add(left.value, right.value), [ONE, ONE]);
  const difference = (left, right) => bound(left, right, exact.subtract(left.value, right.value), [ONE, MINUS_ONE]);
  const product = (left, right) =>
    bound(left, right, exact.multiply(left.value, right.value), [right.value, left.value]);
  const negated = (of) => scaled(of, exact.negate(of.value), MINUS_ONE);
  const unsigned = (of) => (of.value.n < 0n ? negated(of) : of);

  /** Left by right. */
  function quotient(left, right) {
    if (right.value.n === 0n) return "divides by zero";
    const value = exact.divide(left.value, right.value);
    const slopes = [exact.divide(ONE, right.value), exact.negate(exact.divide(value, right.value))];
    return bound(left, right, value, slopes);
  }

  /** The square root. */
  function root(of) {
    if (of.value.n < 0n) return "takes the root of a negative number";
    const found = irrational.squareRoot(of.value);
    const slope = found.root.n === 0n ? ZERO : exact.divide(ONE, exact.multiply(exact.whole(2n), found.root));
    return scaled(of, found.root, slope, !found.exact);
  }

  /** e to the power of an amount. */
  function exponential(of) {
    if (exact.compare(exact.absolute(of.value), STEEPEST) > 0) return TOO_LARGE;
    const value = irrational.exponential(of.value);
    return scaled(of, value, value, true);
  }

  /** The natural logarithm. */
  function logarithm(of) {
    if (of.value.n <= 0n) return "takes the logarithm of a number that is not above zero";
    return scaled(of, irrational.logarithm(of.value), exact.divide(ONE, of.value), true);
  }

  /** The sine of an angle; `radian` is one radian in the base unit of angles. */
  function sine(of, radian) {
    const angle = exact.divide(of.value, radian);
    return scaled(of, irrational.sine(angle), exact.divide(irrational.cosine(angle), radian), true);
  }

  /** The cosine of an angle. */
  function cosine(of, radian) {
    const angle = exact.divide(of.value, radian);
    return scaled(of, irrational.cosine(angle), exact.negate(exact.divide(irrational.sine(angle), radian)), true);
  }

  /** The angle whose sine is given. */
  function arcSine(of, radian) {
    if (exact.compare(exact.absolute(of.value), ONE) > 0) return "asks for an angle whose sine is beyond 1";
    const beside = irrational.squareRoot(exact.subtract(ONE, exact.multiply(of.value, of.value))).root;
    const slope = beside.n === 0n ? ZERO : exact.divide(radian, beside);
    return scaled(of, exact.multiply(irrational.arcSine(of.value), radian), slope, true);
  }

  /** Base to an exponent: exact for whole exponents, else by way of the logarithm. */
  function power(base, exponent) {
    if (exact.compare(exact.absolute(exponent.value), STEEPEST) > 0) return TOO_LARGE;
    if (base.value.n === 0n && exponent.value.n < 0n) return "divides by zero";
    if (exponent.value.d === 1n && exponent.effects.size === 0) return wholePower(base, exponent.value.n);
    if (base.value.n < 0n) return "takes a broken power of a negative number";
    return brokenPower(base, exponent);
  }

  /** A whole power. */
  function wholePower(base, exponent) {
    const size = BigInt(Math.max(exact.bits(base.value.n), exact.bits(base.value.d)));
    if (size * (exponent < 0n ? -exponent : exponent) > BITS) return TOO_LARGE;
    if (exponent === 0n) return scaled(base, ONE, ZERO);
    const level = base.value.n === 0n && exponent < 0n;
    const slope = level ? ZERO : exact.multiply(exact.whole(exponent), exact.raise(base.value, exponent - 1n));
    return scaled(base, exact.raise(base.value, exponent), slope);
  }

  /** By way of e and the logarithm; a power of zero is zero, and no reading moves it. */
  function brokenPower(base, exponent) {
    if (base.value.n === 0n) {
      return scaled(sum(base, exponent), exponent.value.n === 0n ? ONE : ZERO, ZERO, true);
    }
    const height = irrational.logarithm(base.value);
    const lifted = exact.multiply(exponent.value, height);
    if (exact.compare(exact.absolute(lifted), STEEPEST) > 0) return TOO_LARGE;
    const value = irrational.exponential(lifted);
    const byBase = scaled(base, value, exact.divide(exact.multiply(value, exponent.value), base.value), true);
    return sum(byBase, scaled(exponent, ZERO, exact.multiply(value, height)));
  }

  /** A value that moves with the amounts at these places; the others leave their readings with effect 0. */
  function blend(amounts, value, weights) {
    const parts = amounts.map((one, place) => [one.effects, weights.get(place) || ZERO]);
    return amount(value, merged(parts), amounts.some(isRough));
  }

  /** The place of the first amount that no other one passes, by the sign of `wanted`. */
  function extreme(amounts, wanted) {
    return amounts.reduce(
      (best, one, place) => (exact.compare(one.value, amounts[best].value) * wanted > 0 ? place : best), 0);
  }

  /** The least (`wanted` -1) or the greatest (1) of several amounts. */
  function chosen(amounts, wanted) {
    const place = extreme(amounts, wanted);
    return blend(amounts, amounts[place].value, new Map([[place, ONE]]));
  }

  /** Greatest less least, of two different amounts even when all are equal: none is certain. */
  function spread(amounts) {
    const top = extreme(amounts, 1);
    const low = amounts[extreme(amounts, -1)].value;
    const foot = amounts.findIndex((one, place) => place !== top && exact.compare(one.value, low) === 0);
    const weights = foot < 0 ? new Map() : new Map([[top, ONE], [foot, MINUS_ONE]]);
    return blend(amounts, exact.subtract(amounts[top].value, low), weights);
  }

  /** Their sum. */
  function total(amounts) {
    const value = amounts.reduce((whole, one) => exact.add(whole, one.value), ZERO);
    return blend(amounts, value, new Map(amounts.map((_, place) => [place, ONE])));
  }

  /** Their mean, exact. */
  function mean(amounts) {
    const whole = total(amounts);
    const share = exact.make(1n, BigInt(amounts.length));
    return scaled(whole, exact.multiply(whole.value, share), share);
  }

  const REDUCERS = {
    min: (amounts) => chosen(amounts, -1), max: (amounts) => chosen(amounts, 1), mean, spread, sum: total,
  };

  /** How many hold, or how many values there are; no reading moves a count. */
  function count(cells) {
    const held = cells.filter((cell) => !isTruth(cell) || cell.holds).length;
    const unmoved = new Map(cells.flatMap((cell) => [...readingsBehind(cell)].map((reading) => [reading, ZERO])));
    return amount(exact.whole(BigInt(held)), unmoved, cells.some(isRough));
  }

  /** Make one cell of many; the first missing decides, positions with nothing by nature are passed over. */
  function gather(name, cells) {
    const there = cells.filter((cell) => !(isMissing(cell) && cell.nothing_there));
    if (there.length === 0) return "has nothing to take";
    const lost = there.find(isMissing);
    if (lost) return lost;
    if (name === "count") return count(there);
    return there.every(isAmount) ? REDUCERS[name](there) : "takes yes or no for a number";
  }

  /** An operation on amounts only, that stays within the size of exact arithmetic. */
  function numbers(operation) {
    return (...cells) => {
      if (!cells.every(isAmount)) return "takes yes or no for a number";
      const result = operation(...cells);
      return typeof result !== "string" && isAmount(result) && exact.tooLarge(result.value) ? TOO_LARGE : result;
    };
  }

  /** An answer that rests on these cells. */
  function answer(cells, holds) {
    const sources = new Set(cells.flatMap((cell) => [...readingsBehind(cell)]));
    return { holds, sources, approximate: cells.some(isRough) };
  }

  /** An operation on truths only. */
  function answers(operation) {
    return (...cells) => {
      if (!cells.every(isTruth)) return "takes a number for yes or no";
      return answer(cells, operation(cells.map((cell) => cell.holds)));
    };
  }

  /** A comparison by the sign of left less right. */
  function comparison(holds) {
    return numbers((left, right) => answer([left, right], holds(exact.compare(left.value, right.value))));
  }

  const OPERATIONS = {
    "+": numbers(sum), "-": numbers(difference), "*": numbers(product), "/": numbers(quotient),
    "**": numbers(power),
    "<": comparison((sign) => sign < 0), "<=": comparison((sign) => sign <= 0),
    ">": comparison((sign) => sign > 0), ">=": comparison((sign) => sign >= 0),
    "==": comparison((sign) => sign === 0), "!=": comparison((sign) => sign !== 0),
    and: answers((holds) => holds.every(Boolean)), or: answers((holds) => holds.some(Boolean)),
  };

  const SIGNS = {
    "-": numbers(negated), "+": numbers((of) => of), not: answers((holds) => !holds[0]),
  };

  const CURVES = { abs: unsigned, sqrt: root, exp: exponential, log: logarithm, sin: sine, cos: cosine, asin: arcSine };

  /** A function of one value; `radian` is given for the circular ones. */
  function curve(name, radian) {
    return numbers((of) => CURVES[name](of, radian));
  }

  /** A reading of a thermometer as an absolute temperature. */
  function thermometer(factor, offset) {
    return (reading) => {
      const warmed = OPERATIONS["*"](reading, amount(factor));
      return typeof warmed === "string" ? warmed : OPERATIONS["+"](warmed, amount(offset));
    };
  }

  /** `first_at_least` or `nearest` over these sizes. */
  function stepped(name, steps) {
    const order = (a, b) => exact.compare(a, b);
    const choose = name === "first_at_least" ? atLeast : nearest;
    return numbers((wanted) => choose([...steps].sort(order), wanted));
  }

  /** The smallest listed size that is not below the wanted one. */
  function atLeast(sorted, wanted) {
    const found = sorted.find((step) => exact.compare(step, wanted.value) >= 0);
    return found ? scaled(wanted, found, ZERO) : "finds no listed size large enough";
  }

  /** The listed size nearest to the wanted one; the smaller of two equally near. */
  function nearest(sorted, wanted) {
    const away = (step) => exact.absolute(exact.subtract(step, wanted.value));
    if (sorted.length === 0) return "finds no listed size";
    const found = sorted.reduce((best, step) => (exact.compare(away(step), away(best)) < 0 ? step : best));
    return scaled(wanted, found, ZERO);
  }

  Gaugeleaf.amount = Object.freeze({
    amount, missing, isMissing, isAmount, isTruth, readingKey, readingsBehind, mean, gather, curve, thermometer,
    stepped, OPERATIONS, SIGNS,
  });
})();
