/**
 * Exact rational numbers, pairs of BigInts in lowest terms with the denominator above zero.
 *
 * The browser's half of Python's `Fraction`: every digit that decides a verdict passes through here, and no
 * floating-point number does.
 *
 * @typedef {{readonly n: bigint, readonly d: bigint}} Rational
 */
(function () {
  "use strict";

  const Gaugeleaf = (globalThis.Gaugeleaf = globalThis.Gaugeleaf || {});
  const SAFE = BigInt(Number.MAX_SAFE_INTEGER);
  const LARGEST = 1n << 65536n;

  /** The size of a whole number. @param {bigint} value @returns {bigint} */
  function size(value) {
    return value < 0n ? -value : value;
  }

  /** The greatest common divisor of two whole numbers above zero, in ordinary numbers where they fit. */
  function gcd(a, b) {
    while (a > SAFE || b > SAFE) {
      if (b === 0n) return a;
      [a, b] = [b, a % b];
    }
    let [x, y] = [Number(a), Number(b)];
    while (y !== 0) [x, y] = [y, x % y];
    return BigInt(x);
  }

  /** A rational in lowest terms; the denominator is not zero. @returns {Rational} */
  function make(n, d) {
    if (d === 1n) return { n, d };
    if (n === 0n) return { n, d: 1n };
    const common = gcd(size(n), size(d));
    const share = d < 0n ? -common : common;
    return { n: n / share, d: d / share };
  }

  /** A whole number as a rational. @param {bigint} n @returns {Rational} */
  function whole(n) {
    return { n, d: 1n };
  }

  /** Read `"n"` or `"n/d"`. @param {string} text @returns {Rational} */
  function fromText(text) {
    const slash = text.indexOf("/");
    if (slash < 0) return whole(BigInt(text));
    return make(BigInt(text.slice(0, slash)), BigInt(text.slice(slash + 1)));
  }

  /** Write `"n"` or `"n/d"`. @param {Rational} a @returns {string} */
  function toText(a) {
    return a.d === 1n ? a.n.toString() : `${a.n}/${a.d}`;
  }

  /** @param {Rational} a @param {Rational} b @returns {Rational} */
  function add(a, b) {
    return a.d === b.d ? make(a.n + b.n, a.d) : make(a.n * b.d + b.n * a.d, a.d * b.d);
  }

  /** @param {Rational} a @returns {Rational} */
  function negate(a) {
    return { n: -a.n, d: a.d };
  }

  /** @param {Rational} a @param {Rational} b @returns {Rational} */
  function subtract(a, b) {
    return add(a, negate(b));
  }

  /** @param {Rational} a @param {Rational} b @returns {Rational} */
  function multiply(a, b) {
    return make(a.n * b.n, a.d * b.d);
  }

  /** The divisor is not zero. @param {Rational} a @param {Rational} b @returns {Rational} */
  function divide(a, b) {
    return make(a.n * b.d, a.d * b.n);
  }

  /** Below, at or above zero as a is less than, equal to or greater than b. @returns {number} */
  function compare(a, b) {
    const left = a.n * b.d;
    const right = b.n * a.d;
    return left < right ? -1 : left > right ? 1 : 0;
  }

  /** @param {Rational} a @returns {Rational} */
  function absolute(a) {
    return a.n < 0n ? negate(a) : a;
  }

  /** A whole power; a is not zero where the power is below zero. @param {bigint} power @returns {Rational} */
  function raise(a, power) {
    if (power >= 0n) return { n: a.n ** power, d: a.d ** power };
    return make(a.d ** -power, a.n ** -power);
  }

  /** Quotient of whole numbers rounded down, as Python's `//`. @returns {bigint} */
  function floorDivide(a, b) {
    const quotient = a / b;
    return a % b !== 0n && a < 0n !== b < 0n ? quotient - 1n : quotient;
  }

  /** Whether a value has outgrown exact arithmetic. @param {Rational} a @returns {boolean} */
  function tooLarge(a) {
    return size(a.n) >= LARGEST || a.d >= LARGEST;
  }

  /** The number of bits of a whole number's size. @returns {number} */
  function bits(value) {
    return value === 0n ? 0 : size(value).toString(2).length;
  }

  Gaugeleaf.exact = Object.freeze({
    ZERO: whole(0n), ONE: whole(1n),
    make, whole, fromText, toText, add, subtract, multiply, divide, negate, absolute, compare, raise,
    floorDivide, tooLarge, bits,
  });
})();
