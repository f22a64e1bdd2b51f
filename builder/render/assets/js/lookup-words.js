/**
 * Folding of texts and queries, and how near a misspelt word is to a known one; the browser's half of
 * `builder/lookup/words.py` and `builder/lookup/near.py`.
 */
(function () {
  "use strict";

  const Gaugeleaf = (globalThis.Gaugeleaf = globalThis.Gaugeleaf || {});

  const PLURAL_FROM = 4;
  const ONE_SLIP_FROM = 4;
  const TWO_SLIPS_FROM = 7;
  const LONGEST = 64;

  const UNSETTLED = /[\u1c80-\u1c8f\ua720-\ua7ff\u{10000}-\u{10ffff}]/gu;
  const MARKS = /[\u0300-\u036f]/g;
  const GAPS = /[^a-z0-9\u00c0-\u00d6\u00d8-\u00f6\u00f8-\u1fff\u3040-\ud7ff\uf900-\ufdff]+/u;
  const SMALL = new Set(
    "a an and are at do does for how i is it its many much my of on or should the to what whats with".split(" "),
  );

  // Folding

  /** A word without the `s` of its plural. @param {string} word @returns {string} */
  function singular(word) {
    const plural = word.length >= PLURAL_FROM && word.endsWith("s") && !word.endsWith("ss");
    return plural ? word.slice(0, -1) : word;
  }

  /** The words of a text, folded, in order. @param {string} text @returns {string[]} */
  function words(text) {
    const plain = text.replace(UNSETTLED, " ").normalize("NFKD").replace(MARKS, "").toLowerCase();
    return plain.replace(/\u03bc/g, "u").split(GAPS).filter(Boolean);
  }

  /** The words of a text without the small ones, or with them where there are no others. @returns {string[]} */
  function telling(text) {
    const every = words(text);
    const some = every.filter((word) => !SMALL.has(word));
    return some.length ? some : every;
  }

  /** The telling words of a text, each in the singular: how a name or a synonym stands in the index. */
  function folded(text) {
    return telling(text).map(singular);
  }

  // Slips

  /** How many slips are forgiven in a word of this length. @returns {number} */
  function slipsAllowed(word) {
    if (word.length > LONGEST) return 0;
    return (word.length >= ONE_SLIP_FROM ? 1 : 0) + (word.length >= TWO_SLIPS_FROM ? 1 : 0);
  }

  let above = new Int32Array(LONGEST + 1);
  let before = new Int32Array(LONGEST + 1);
  let row = new Int32Array(LONGEST + 1);

  /** One line of the table of slips: `typed` up to its letter `number` against every beginning of `known`. */
  function slipsLine(typed, known, number) {
    [above, before, row] = [before, row, above];
    row[0] = number;
    const letter = typed.charCodeAt(number - 1);
    const last = number > 1 ? typed.charCodeAt(number - 2) : -1;
    for (let place = 1; place <= known.length; place += 1) {
      const other = known.charCodeAt(place - 1);
      let least = before[place - 1] + (letter === other ? 0 : 1);
      if (before[place] + 1 < least) least = before[place] + 1;
      if (row[place - 1] + 1 < least) least = row[place - 1] + 1;
      const swapped = place > 1 && other === last && letter === known.charCodeAt(place - 2);
      if (swapped && above[place - 2] + 1 < least) least = above[place - 2] + 1;
      row[place] = least;
    }
  }

  /** The fewest slips from `typed` to the whole of `known`, and to its nearest beginning. @returns {[number, number]} */
  function slips(typed, known) {
    for (let place = 0; place <= known.length; place += 1) row[place] = place;
    for (let number = 1; number <= typed.length; number += 1) slipsLine(typed, known, number);
    let begun = row[0];
    for (let place = 1; place <= known.length; place += 1) begun = Math.min(begun, row[place]);
    return [row[known.length], begun];
  }

  Gaugeleaf.lookup = { LONGEST, words, telling, folded, singular, slips, slipsAllowed };
})();
