/**
 * One value against its limits: which limit decides, the verdict, the flags beside it, and slips of the pen. The
 * browser's half of `builder/judge/bounds.py`, `verdict.py` and `slips.py`; needs `exact.js` and `reading.js`.
 *
 * Simple acceptance, compared exactly, nothing rounded first, equality inside.
 *
 * @typedef {{n: bigint, d: bigint}} Rational
 * @typedef {{low: Rational|null, high: Rational|null, kind: string, moved: Rational}} Band
 * @typedef {{inForce: Band|null, aim: Band|null, wear: Band|null}} Limits
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const exact = Gaugeleaf.exact;
  const { ZERO } = exact;
  const IN_FORCE = ["supplier", "new", "shop", "rule"];
  const TEN = exact.whole(10n);
  const INCH = exact.make(254n, 10n);
  const NO_LIMITS = Object.freeze({ inForce: null, aim: null, wear: null });

  const rational = (text) => (text === null || text === undefined ? null : exact.fromText(text));
  const squared = (value) => exact.multiply(value, value);
  const below = (one, other) => exact.compare(one, other) < 0;

  // Limits in force (builder/judge/bounds.py)

  /** Whether a value lies inside; equality is inside. */
  function holds(band, value) {
    return (band.low === null || !below(value, band.low)) && (band.high === null || !below(band.high, value));
  }

  /** How far a value lies outside; zero when it is inside. */
  function beyond(band, value) {
    if (band.low !== null && below(value, band.low)) return exact.subtract(band.low, value);
    if (band.high !== null && below(band.high, value)) return exact.subtract(value, band.high);
    return ZERO;
  }

  /** The printed values that count at a position: of graded parts, all grades together. */
  function printedAt(row, stated, labels) {
    if (row.grades.length) return Object.values(stated);
    const found = [...labels, ""].find((label) => Object.hasOwn(stated, label));
    return found === undefined ? [] : [stated[found]];
  }

  /** The outermost of some bounds, by the sign of `wanted`; null where one of them is open. */
  function outermost(bounds, wanted) {
    if (bounds.includes(null)) return null;
    return bounds.reduce((best, one) => (exact.compare(one, best) * wanted > 0 ? one : best));
  }

  /** The band of what one limit kind states at a position, moved. @returns {Band|null} */
  function bandOf(row, stated, kind, labels, moved) {
    if (!stated) return null;
    const printed = printedAt(row, stated, labels).filter(Boolean);
    const bounded = printed.filter((one) => one.low !== null || one.high !== null);
    if (!bounded.length) return null;
    const low = outermost(bounded.map((one) => rational(one.low)), -1);
    const high = outermost(bounded.map((one) => rational(one.high)), 1);
    const shift = (bound) => (bound === null ? null : exact.add(bound, moved));
    return { low: shift(low), high: shift(high), kind, moved };
  }

  /** A size step at a position: one for all, or by label with "" for those not named. */
  function sizeAt(size, labels) {
    if (!(size instanceof Map)) return size;
    const label = [...labels, ""].find((one) => size.has(one));
    return label === undefined ? ZERO : size.get(label);
  }

  /** How far the size steps move a row at a position; null where positions differ and none is told. */
  function moveOf(row, labels, sizes) {
    let moved = ZERO;
    for (const [step, factor] of Object.entries(row.moves)) {
      const size = sizes.get(step) || ZERO;
      if (size instanceof Map && !labels.length) return null;
      moved = exact.add(moved, exact.multiply(exact.fromText(factor), sizeAt(size, labels)));
    }
    return moved;
  }

  /**
   * The limits of a row at a position, moved by the job's size steps; `sheet` is what the sheet in the box says for
   * this job, which is of the size in the box and moves no more. @returns {Limits}
   */
  function limitsAt(row, labels, sizes, sheet = undefined) {
    const moved = moveOf(row, labels, sizes);
    if (moved === null) return NO_LIMITS;
    const band = (kind) => bandOf(row, row.limits[kind], kind, labels, moved);
    const boxed = bandOf(row, sheet, "sheet", labels, ZERO);
    const inForce = boxed || IN_FORCE.map(band).find(Boolean) || null;
    let wear = band("wear");
    if (!wear && row.sameAsNew && inForce) wear = { ...inForce, kind: "wear" };
    const aim = band("aim");
    const astray = boxed && aim && [aim.low, aim.high].some((bound) => bound !== null && !holds(boxed, bound));
    return { inForce, aim: astray ? null : aim, wear };
  }

  // One value against its limits (builder/judge/verdict.py)

  /** The bound that one end of a fit is held against. */
  function ended(band, end) {
    if (!band || !end) return band;
    const low = end === "least" ? band.low : null;
    const high = end === "most" ? band.high : null;
    return low === null && high === null ? null : { ...band, low, high };
  }

  /** Strictly nearer to a bound than U, on either side; squares are compared so that no root is taken. */
  function edge(value, spread, band) {
    const bounds = [band.low, band.high].filter((bound) => bound !== null);
    return bounds.some((bound) => below(squared(exact.subtract(value, bound)), spread)) ? ["edge"] : [];
  }

  /** Whether the aim is missed. */
  function offAim(value, aim, end) {
    const narrowed = ended(aim, end);
    return narrowed && !holds(narrowed, value) ? ["off aim"] : [];
  }

  /** Judge a value in base units; `spread` is the square of its U, `by` the limit that decided, both its sides. */
  function decide(value, spread, limits, untouched, end = "") {
    const band = ended(limits.inForce, end);
    const wear = untouched ? ended(limits.wear, end) : null;
    if (!band && !wear) return { verdict: "no limit", flags: [], by: null };
    if (band && holds(band, value)) {
      const flags = [...edge(value, spread, band), ...offAim(value, limits.aim, end)];
      return { verdict: "in", flags, by: limits.inForce };
    }
    if (wear && holds(wear, value)) {
      const only = band ? ["inside wear only"] : [];
      return { verdict: "in", flags: [...only, ...edge(value, spread, wear)], by: limits.wear };
    }
    const by = wear ? limits.wear : limits.inForce;
    return { verdict: "out", flags: edge(value, spread, wear || band), by };
  }

  // Slips of the pen and of the gauge (builder/judge/slips.py)

  /** What a reading may have been meant to be, and the slip that made it what it is. */
  function others(value, steps) {
    const stepped = steps.flatMap(([step, words]) => [
      [exact.subtract(value, step), `it is exactly the size step ${words} over its mates`],
      [exact.add(value, step), `it is exactly the size step ${words} under its mates`],
    ]);
    return [
      ...stepped,
      [exact.divide(value, TEN), "the decimal point has slipped: it is ten times its mates"],
      [exact.multiply(value, TEN), "the decimal point has slipped: it is a tenth of its mates"],
      [exact.divide(value, INCH), "it reads as millimetres written for inches"],
      [exact.multiply(value, INCH), "it reads as inches written for millimetres"],
    ];
  }

  /** Why two neighbouring digits look exchanged, or nothing. */
  function exchanged(typed, value, among) {
    if (!/^\d+$/u.test(typed.replace(".", ""))) return "";
    const digits = Gaugeleaf.reading.readNumber(typed).value;
    if (digits.n === 0n) return "";
    const scale = exact.divide(value, digits);
    for (let place = 0; place < typed.length - 1; place += 1) {
      const [one, two] = [typed[place], typed[place + 1]];
      if (one === "." || two === "." || one === two) continue;
      const swapped = typed.slice(0, place) + two + one + typed.slice(place + 2);
      if (among(exact.multiply(decimal(swapped), scale))) {
        return `two digits look exchanged: ${swapped} would lie among its mates`;
      }
    }
    return "";
  }

  /** Plain digits with at most one point as a rational, leading zeros and all. */
  function decimal(text) {
    const point = text.indexOf(".");
    const places = point < 0 ? 0 : text.length - point - 1;
    return exact.make(BigInt(text.replace(".", "")), 10n ** BigInt(places));
  }

  /** Why a reading is suspect, in words; empty when it is not. */
  function slip(typed, value, band, mates, steps) {
    const outside = beyond(band, value);
    if (outside.n === 0n) return "";
    const [low, high] = mates.length ? [outermost(mates, -1), outermost(mates, 1)] : [band.low, band.high];
    const among = (other) => low !== null && high !== null && !below(other, low) && !below(high, other);
    const meant = others(value, steps).find(([other]) => among(other));
    if (meant) return meant[1];
    if (band.low === null || band.high === null || !mates.length) return "";
    return below(exact.subtract(band.high, band.low), outside) ? exchanged(typed, value, among) : "";
  }

  /** Whether two bands end at the same places. */
  function alike(one, other) {
    const same = (a, b) => (a === null || b === null ? a === b : exact.compare(a, b) === 0);
    return same(one.low, other.low) && same(one.high, other.high);
  }

  Gaugeleaf.verdict = Object.freeze({ NO_LIMITS, squared, holds, alike, limitsAt, decide, slip });
})();
