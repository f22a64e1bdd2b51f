/**
 * A limit of the sheet in a box as a job's file writes it, in the usual forms: `0.0010 to 0.0020 in`,
 * `2.500 ± 0.001 in`, `2.500 +0.001 -0.000 in`, `0.004 in max`; the browser's half of the quick way through
 * `builder/limit.py`. Any rarer form is left to the command line. Needs `exact.js` and `reading.js`.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const exact = Gaugeleaf.exact;
  const { readNumber, base, Refusal } = Gaugeleaf.reading;
  const NUMBER = "(?:[0-9]+(?:\\.[0-9]+)?|\\.[0-9]+)";
  const SPAN = `(?: to (-?${NUMBER})| ± (${NUMBER})| \\+(${NUMBER}) -(${NUMBER}))?`;
  const USUAL = new RegExp(`^(-?${NUMBER})${SPAN} (\\S(?:.*?\\S)?)(?: (max|min|exact))?$`, "u");
  const CITATIONS = /\s*\[[^\]]*\]/gu;
  const OTHER_SYSTEM = /\s*\([^()]*\)$/u;

  /** The bounds of a match in its unit, an open side null. */
  function bounds([, first, last, both, over, under, , bound]) {
    const value = readNumber(first).value;
    const number = (text) => readNumber(text).value;
    if (last !== undefined) return [value, number(last)];
    if (both !== undefined) return [exact.subtract(value, number(both)), exact.add(value, number(both))];
    if (over !== undefined) return [exact.subtract(value, number(under)), exact.add(value, number(over))];
    return { max: [null, value], min: [value, null], exact: [value, value] }[bound] || [null, null];
  }

  /**
   * The bounds of one printed limit in base units, as a program holds them; null for a form that is not usual.
   * @param {string} text @param {object} reader knows the units
   */
  function readLimit(text, reader) {
    const found = USUAL.exec(text.replace(CITATIONS, "").trim().replace(OTHER_SYSTEM, ""));
    if (!found) return null;
    try {
      const unit = reader.unit(found[6]);
      const [low, high] = bounds(found);
      if (low !== null && high !== null && exact.compare(low, high) > 0) return null;
      const inBase = (value) => (value === null ? null : exact.toText(base({ number: { value }, unit })));
      return { low: inBase(low), high: inBase(high) };
    } catch (refusal) {
      if (refusal instanceof Refusal) return null;
      throw refusal;
    }
  }

  /** What a job states for a characteristic: one limit, several sources of which the first counts, or by position. */
  function readStated(stated, reader) {
    const first = (value) => readLimit(Array.isArray(value) ? value[0] : value, reader);
    if (typeof stated !== "object" || Array.isArray(stated)) return { "": first(stated) };
    return Object.fromEntries(Object.entries(stated).map(([label, value]) => [label, first(value)]));
  }

  /** The characteristics whose sheet limits this page cannot read. */
  function unread(supplier, reader) {
    return Object.keys(supplier).filter((name) => Object.values(readStated(supplier[name], reader)).includes(null));
  }

  Gaugeleaf.limit = Object.freeze({ readLimit, readStated, unread });
})();
