/**
 * Roots, logarithms and circular functions by whole-number arithmetic, digit for digit those of Python's
 * `irrational.py`, whose docstring says how; needs `exact.js`.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { make, whole, fromText, add, subtract, multiply, divide, raise, floorDivide, bits } = Gaugeleaf.exact;
  const DEPTH = 192n;
  const KEPT = 128n;
  const ONE = 1n << DEPTH;
  const PI_DIGITS = "3141592653589793238462643383279502884197169399375105820974944592307816406286";
  const PI = fromText(`${PI_DIGITS}/1${"0".repeat(75)}`);

  /** The running digits of a rational. */
  function fixed(value) {
    return floorDivide(value.n << DEPTH, value.d);
  }

  /** Round the running digits to the kept ones, half upwards. */
  function settled(digits) {
    const spare = DEPTH - KEPT;
    return make((digits + (1n << (spare - 1n))) >> spare, 1n << KEPT);
  }

  /** Sum a series: `step` makes the next term from the one before, `share` what of it counts. */
  function series(first, step, share) {
    let total = 0n;
    let index = 0n;
    for (let term = first; term !== 0n && term !== -1n; term = step(term, index)) {
      total += share(term, index);
      index += 1n;
    }
    return total;
  }

  /** The series v + sign·v³/3 + v⁵/5 + …: artanh for sign 1, arctan for sign -1. */
  function oddPowers(value, sign) {
    const square = (sign * value * value) >> DEPTH;
    return series(value, (term) => (term * square) >> DEPTH, (term, index) => floorDivide(term, 2n * index + 1n));
  }

  const LN2 = 2n * oddPowers(ONE / 3n, 1n);

  /** The whole part of the root of a whole number that is not below zero. */
  function wholeRoot(value) {
    if (value < 2n) return value;
    let root = 1n << BigInt((bits(value) + 1) >> 1);
    for (;;) {
      const next = (root + value / root) >> 1n;
      if (next >= root) return root;
      root = next;
    }
  }

  /** The root of a rational that is not below zero, and whether it is exact. */
  function squareRoot(value) {
    const top = wholeRoot(value.n);
    const bottom = wholeRoot(value.d);
    if (top * top === value.n && bottom * bottom === value.d) return { root: make(top, bottom), exact: true };
    return { root: make(wholeRoot((value.n * value.d) << (2n * KEPT)), value.d << KEPT), exact: false };
  }

  /** e to the power of a rational within a thousand of zero. */
  function exponential(value) {
    const digits = fixed(value);
    const doublings = floorDivide(digits + LN2 / 2n, LN2);
    const rest = digits - doublings * LN2;
    const mantissa = series(ONE, (term, index) => floorDivide((term * rest) >> DEPTH, index), (term) => term);
    return multiply(settled(mantissa), raise(whole(2n), doublings));
  }

  /** The natural logarithm of a rational above zero. */
  function logarithm(value) {
    const doublings = BigInt(bits(value.n) - bits(value.d));
    const mantissa = fixed(divide(value, raise(whole(2n), doublings)));
    const ratio = floorDivide((mantissa - ONE) << DEPTH, mantissa + ONE);
    return settled(2n * oddPowers(ratio, 1n) + doublings * LN2);
  }

  /** The sine of an angle that lies `ahead` quarter turns further on. */
  function circular(angle, ahead) {
    const turns = add(divide(multiply(whole(2n), angle), PI), make(1n, 2n));
    const quarters = floorDivide(turns.n, turns.d);
    const rest = fixed(subtract(angle, divide(multiply(whole(quarters), PI), whole(2n))));
    const square = -((rest * rest) >> DEPTH);
    const turn = (((quarters + ahead) % 4n) + 4n) % 4n;
    const [start, shift] = turn % 2n === 1n ? [ONE, 0n] : [rest, 1n];
    const step = (term, index) =>
      floorDivide((term * square) >> DEPTH, (2n * index - 1n + shift) * (2n * index + shift));
    const wave = series(start, step, (term) => term);
    return settled(turn > 1n ? -wave : wave);
  }

  /** The sine of an angle in radians. */
  function sine(angle) {
    return circular(angle, 0n);
  }

  /** The cosine of an angle in radians. */
  function cosine(angle) {
    return circular(angle, 1n);
  }

  /** The angle in radians, within a quarter turn of zero, whose sine is a ratio between -1 and 1. */
  function arcSine(ratio) {
    const now = fixed(ratio);
    const square = ONE * ONE - now * now;
    let tangent = floorDivide(now << DEPTH, ONE + wholeRoot(square < 0n ? 0n : square));
    for (let halving = 0; halving < 2; halving += 1) {
      tangent = floorDivide(tangent << DEPTH, ONE + wholeRoot(ONE * ONE + tangent * tangent));
    }
    return settled(8n * oddPowers(tangent, -1n));
  }

  Gaugeleaf.irrational = Object.freeze({ PI, squareRoot, exponential, logarithm, sine, cosine, arcSine });
})();
