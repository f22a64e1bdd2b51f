/**
 * What a builder types into a box, read exactly or refused, in the words of the command line; needs `exact.js`.
 *
 * The browser's half of `number.py`, `units.py` and `quantity.py`. The units come as data (`export_units`), so
 * that no factor is written twice.
 *
 * @typedef {{value: Rational, text: string, decimals: number|null}} TypedNumber
 * @typedef {{number: TypedNumber, unit: object}} Quantity
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const exact = Gaugeleaf.exact;
  const DIGITS = 9;

  /** Why a text is refused, what to write instead, and where the fault stands. */
  class Refusal extends Error {
    constructor(message, hint, start = 0, end = null) {
      super(message);
      this.hint = hint;
      this.start = start;
      this.end = end;
    }
  }

  const fraction = (above, below) => exact.make(BigInt(above), BigInt(below));
  const VULGAR = {
    "½": fraction(1, 2), "¼": fraction(1, 4), "¾": fraction(3, 4), "⅓": fraction(1, 3), "⅔": fraction(2, 3),
    "⅛": fraction(1, 8), "⅜": fraction(3, 8), "⅝": fraction(5, 8), "⅞": fraction(7, 8),
  };
  const BLANK = "[ \\t\\n\\r\\f\\v]";                        // the blanks that Python's ASCII patterns know
  const ANY_BLANKS = /[\t-\r\x1c-\x20\x85\xa0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]+/u;
  const DECIMAL = `(?:(?:0|[1-9][0-9]{0,${DIGITS - 1}})(?:\\.[0-9]{1,${DIGITS}})?|\\.[0-9]{1,${DIGITS}})`;
  const SIGNS = `[${Object.keys(VULGAR).join("")}]`;
  const SMALL = "[1-9][0-9]{0,3}";
  const FRACTION = `(?:(?:${SMALL}${BLANK}+)?${SMALL}/${SMALL}|(?:${SMALL}${BLANK}?)?${SIGNS})`;
  const UNSIGNED = `(?:${FRACTION}|${DECIMAL})(?![0-9.]|/[0-9A-Za-z])`;
  const NUMBER_PART = `${BLANK}*(?<number>[+−\\-]?${BLANK}?${UNSIGNED})${BLANK}*`;
  const UNIT_PART = "(?<unit>(?:1/)?[A-Za-z\\u00b5\\u03bc°%\\u03a9\\u2126\"'][^()\\[\\]±+−]*?)";

  /** The dead centre that an angle is told from, and -1 where it is told backwards. */
  const DATUMS = {
    BTDC: ["TDC", -1], TDC: ["TDC", 1], ATDC: ["TDC", 1], BBDC: ["BDC", -1], BDC: ["BDC", 1], ABDC: ["BDC", 1],
  };

  const whole = (pattern) => new RegExp(`^(?:${pattern})$`, "u");
  const QUANTITY = whole(`${NUMBER_PART}${UNIT_PART}?${BLANK}*`);
  const READING = whole(`${NUMBER_PART}${UNIT_PART}??(?:${BLANK}*\\b(?<datum>${Object.keys(DATUMS).join("|")}))?${BLANK}*`);
  const DECIMAL_ONLY = whole(`[+\\-]?${BLANK}?${DECIMAL}`);
  const FRACTION_ONLY = whole(
    `(?<sign>[+\\-]?)${BLANK}?(?:(?:(?<whole>${SMALL})${BLANK}+)?(?<above>${SMALL})/(?<below>${SMALL})` +
    `|(?:(?<units>${SMALL})${BLANK}?)?(?<vulgar>${SIGNS}))`);

  /** Ways in which numbers go wrong: how each looks, what to say of it, and the right form, `\1` for its parts. */
  const LONGEST = 300;
  const SLIPS = [
    [/(?<![0-9.,])([0-9]{1,3}),([0-9]{3})(?![0-9.,])/u,
      "has a comma, which may stand for a point or for thousands", "write `\\1.\\2` or `\\1\\2`"],
    [/(?<![0-9.,])([0-9]{1,3}),([0-9]{3}\.[0-9]+)/u, "has a comma between thousands", "write `\\1\\2`"],
    [/(?<![0-9.,])([0-9]*),([0-9]+)(?![0-9.,])/u, "has a comma for a decimal point", "write `\\1.\\2`"],
    [/(?<![0-9.,])([0-9]+[0-9,]*,[0-9]{3})(?![0-9])/u,
      "has commas between thousands", "write the digits without commas"],
    [/(?<![0-9.A-Za-z])(0+([1-9][0-9]*|0))(?![0-9./])/u,
      "has lost its decimal point", "write `0.\\1`, or `\\2` if that is meant"],
    [/(?<![0-9.A-Za-z])0+([1-9][0-9]*[./][0-9]+)/u, "begins with a needless nought", "write `\\1`"],
    [/(?<![0-9.A-Za-z])00+(\.[0-9]+)/u, "begins with needless noughts", "write `0\\1`"],
    [/([0-9]+)[Oo]([CF])(?![A-Za-z])/u, "has a letter for the degree sign", "write `\\1 deg\\2`"],
    [/[0-9]*\.[0-9]*\.[0-9.]*/u, "has two decimal points", "write one point"],
    [/(?<![0-9./])([0-9]+)-([0-9]+\/[0-9]+)/u,
      "joins the whole number and the fraction by a dash", "write `\\1 \\2`"],
    [/(?<![0-9.])([0-9]+)\.(?![0-9])/u, "ends in a point", "write `\\1` or `\\1.0`"],
    [/(?<![0-9.])[0-9]+\/0+(?![0-9.])/u, "divides by nought", "write a fraction such as `3/4`"],
    [/[0-9.]+[eE][+-]?[0-9]+/u, "is written in powers of ten", "write all the digits, for example `0.0015`"],
    [new RegExp(`[0-9]{${DIGITS + 1},}`, "u"),
      "has more digits than any gauge reads", `write at most ${DIGITS} digits`],
  ];
  const LETTERS = /(?<![A-Za-z0-9])[-+]?(?=[0-9.OoQlI]*[0-9.])(?=[0-9.]*[OoQlI])[0-9.OoQlI]+(?![A-Za-z0-9])/u;
  /** Whether a text is longer than any reading, counted in characters as Python counts them. */
  const tooLong = (text) => text.length > LONGEST && [...text].length > LONGEST;
  const DIGIT_FOR = { O: "0", o: "0", Q: "0", l: "1", I: "1" };

  const AMBIGUOUS = new Map(Object.entries({
    qt: "write `US qt` or `UK qt`",
    pt: "write `US pt` or `UK pt`",
    gal: "write `US gal` or `UK gal`",
    F: "write `degF` for a temperature, `Fdeg` for a difference, `uF` for a capacitance",
    C: "write `degC` for a temperature, `Cdeg` for a difference",
    '"': "write `in`",
    "'": "write `ft`",
    Ra: "write `microinch` or `um`",
  }));

  const words = (text) => text.split(ANY_BLANKS).filter(Boolean);
  const trimmed = (text) => {
    const inner = new RegExp(`^${ANY_BLANKS.source}|${ANY_BLANKS.source}$`, "gu");
    return text.replace(inner, "");
  };

  /** The first thing in a text that looks like a number gone wrong, or undefined. */
  function slipIn(text) {
    if (tooLong(text)) {
      return new Refusal("this text is too long for a number", "write one number, for example `0.0015`");
    }
    const letters = LETTERS.exec(text);
    if (letters) {
      const right = letters[0].replace(/[OoQlI]/gu, (letter) => DIGIT_FOR[letter]);
      return refusalAt(letters, "has a letter among its digits", `write \`${right}\``);
    }
    for (const [pattern, says, hint] of SLIPS) {
      const found = pattern.exec(text);
      if (found) return refusalAt(found, says, hint.replace(/\\(\d)/gu, (_, part) => found[part] || ""));
    }
    return undefined;
  }

  /** A refusal that stands where a pattern was found. */
  function refusalAt(found, says, hint) {
    return new Refusal(`\`${found[0]}\` ${says}`, hint, found.index, found.index + found[0].length);
  }

  /** Why a text is not a number. */
  function numberFault(text) {
    const bare = trimmed(text);
    if (!bare) return new Refusal("a number is missing", "write digits, for example `0.0015`");
    return slipIn(text) ||
      new Refusal(`\`${bare}\` is not a number`, "write digits, for example `0.0015`, `.0015` or `1 3/4`");
  }

  /** The number that a text holds and nothing else. @returns {TypedNumber} */
  function readNumber(text) {
    const plain = words(text).join(" ").replace(/−/gu, "-");
    if (DECIMAL_ONLY.test(plain)) return decimal(plain);
    const found = FRACTION_ONLY.exec(plain);
    if (!found) throw numberFault(text);
    return { value: mixed(found.groups, text), text: plain, decimals: null };
  }

  /** A decimal number, its places remembered. */
  function decimal(plain) {
    const digits = plain.replace(/ /gu, "");
    const point = digits.indexOf(".");
    const places = point < 0 ? 0 : digits.length - point - 1;
    const all = digits.replace(".", "").replace("+", "");
    return { value: exact.make(BigInt(all), 10n ** BigInt(places)), text: plain, decimals: places };
  }

  /** A whole number and a fraction together, such as `1 3/4` or `2½`. */
  function mixed(parts, text) {
    const part = parts.vulgar ? VULGAR[parts.vulgar] : fraction(parts.above, parts.below);
    const before = parts.whole || parts.units;
    if (before && exact.compare(part, exact.ONE) >= 0) {
      throw new Refusal(
        `\`${trimmed(text)}\` has a fraction of one or more`, "write it as one fraction or a decimal");
    }
    const value = exact.add(exact.whole(BigInt(before || "0")), part);
    return parts.sign === "-" ? exact.negate(value) : value;
  }

  /** How many decimals show a value in full; nine where it does not end by then. */
  function placesOf(value) {
    for (let places = 0; places < DIGITS; places += 1) {
      if (10n ** BigInt(places) % value.d === 0n) return places;
    }
    return DIGITS;
  }

  /** A rational as a whole number, half to even. */
  function rounded(value) {
    const down = exact.floorDivide(value.n, value.d);
    const twice = 2n * (value.n - down * value.d);
    const up = twice > value.d || (twice === value.d && down % 2n !== 0n);
    return up ? down + 1n : down;
  }

  /** A value with so many places after the point, rounded half to even, trailing zeros kept. */
  function showNumber(value, decimals) {
    const units = rounded(exact.multiply(value, exact.whole(10n ** BigInt(decimals))));
    const digits = String(units < 0n ? -units : units).padStart(decimals + 1, "0");
    const sign = units < 0n ? "-" : "";
    const point = digits.length - decimals;
    return decimals ? `${sign}${digits.slice(0, point)}.${digits.slice(point)}` : sign + digits;
  }

  /** How alike two words are, from 0 to 1: twice the letters of their common runs by the letters of both. */
  function likeness(a, b) {
    return a.length + b.length === 0 ? 1 : (2 * commonLetters(a, b)) / (a.length + b.length);
  }

  /** The letters of the longest common run, and of those before and after it. */
  function commonLetters(a, b) {
    let [best, at, to] = [0, 0, 0];
    for (let i = 0; i < a.length; i += 1) {
      for (let j = 0; j < b.length; j += 1) {
        let run = 0;
        while (i + run < a.length && j + run < b.length && a[i + run] === b[j + run]) run += 1;
        if (run > best) [best, at, to] = [run, i, j];
      }
    }
    if (best === 0) return 0;
    return best + commonLetters(a.slice(0, at), b.slice(0, to)) + commonLetters(a.slice(at + best), b.slice(to + best));
  }

  /**
   * A reader that knows the units.
   * @param {object} table the JSON of `export_units`
   */
  function reader(table) {
    const spelled = new Map();
    for (const [symbol, [factor, offset, dimension, system, spellings]] of Object.entries(table)) {
      const one = { symbol, factor: exact.fromText(factor), offset: exact.fromText(offset), dimension, system };
      for (const spelling of [symbol, ...spellings]) spelled.set(spelling, one);
    }

    /** The right spelling that is nearest to a word. */
    function nearest(word) {
      const lowered = new Map([...spelled.keys()].reverse().map((spelling) => [spelling.toLowerCase(), spelling]));
      const plain = word.toLowerCase().replace(/\./gu, "");
      let best = ["", 0.6];
      for (const spelling of lowered.keys()) {
        const like = likeness(spelling, plain);
        if (like > best[1] || (like === best[1] && spelling > best[0])) best = [spelling, like];
      }
      if (!best[0]) return "write a unit such as `in`, `mm`, `lb-ft` or `psi`";
      return `write \`${spelled.get(lowered.get(best[0])).symbol}\``;
    }

    /** What is wrong with a unit that is not in the list. */
    function unknown(text) {
      const word = words(text).join(" ");
      if (spelled.has(word)) return [`\`${text}\` has blanks where a unit has none`, `write \`${word}\``];
      if (AMBIGUOUS.has(word)) return [`\`${word}\` may mean more than one unit`, AMBIGUOUS.get(word)];
      return [`\`${word}\` is not a unit of the list`, nearest(word)];
    }

    /** The unit that a text names. */
    function unit(text) {
      if (!spelled.has(text)) throw new Refusal(...unknown(text));
      return spelled.get(text);
    }

    /** The unit that a match names; the fault stands at the unit, or at what is wrong with a number there. */
    function unitAt(found) {
      const text = found.groups.unit;
      if (spelled.has(text)) return spelled.get(text);
      const start = unitStart(found);
      throw slipIn(found.input) || new Refusal(...unknown(text), start, start + text.length);
    }

    /** One number and its unit, such as `0.0001 in`. @returns {Quantity} */
    function quantity(text) {
      const found = tooLong(text) ? null : QUANTITY.exec(text);
      const bare = trimmed(text);
      if (!found) throw slipIn(text) || notOneQuantity(bare);
      if (!found.groups.unit) {
        throw new Refusal(`\`${bare}\` has no unit`, `write the unit too, for example \`${bare} in\``);
      }
      const number = readNumber(found.groups.number);
      return { number, unit: unitAt(found) };
    }

    /**
     * What was typed at the bench, in the unit typed or else in `own`, the unit of the sheet's box.
     * @param {string} typed @param {string} own a unit's symbol
     * @param {{setting?: string, datum?: string}} [box] the gauge's set size; the crank position beside the box
     * @returns {Quantity} throws a `Refusal`
     */
    function reading(typed, own, box = {}) {
      const setSize = box.setting ? quantity(box.setting) : undefined;
      const found = tooLong(typed) ? null : READING.exec(typed);
      if (!found) throw numberFault(typed);
      const number = readNumber(found.groups.number);
      const named = found.groups.unit ? unitAt(found) : undefined;
      const printed = unit(own);
      if (named && named.dimension !== printed.dimension) {
        throw misfit(found.groups.unit, unitStart(found), `is a unit of ${named.dimension}`, printed);
      }
      if (found.groups.datum && printed.dimension !== "angle") {
        throw misfit(found.groups.datum, found[0].lastIndexOf(found.groups.datum), "tells an angle", printed);
      }
      if (setSize && "+-".includes(number.text[0])) return overSetting(number, named, setSize);
      if (number.text[0] === "+") {
        throw new Refusal(
          `\`${trimmed(typed)}\` counts from a set size, but the gauge has no setting`,
          "write the size in full, or enter what the gauge was set to");
      }
      return { number: aboutCentre(number, found.groups.datum, box.datum || ""), unit: named || printed };
    }

    /** A signed entry added to the set size, in the setting's unit. */
    function overSetting(number, named, setting) {
      const step = named || stepUnit(number, setting);
      const counted = exact.divide(exact.multiply(number.value, step.factor), setting.unit.factor);
      const value = exact.add(setting.number.value, counted);
      const places = Math.max(placesOf(value), setting.number.decimals || 0);
      return { number: { value, text: showNumber(value, places), decimals: places }, unit: setting.unit };
    }

    /** The unit of a signed entry that names none: tenths, or the setting's own from three decimals on. */
    function stepUnit(number, setting) {
      const places = number.decimals || 0;
      const text = number.text;
      if (places > 2) return setting.unit;
      if (setting.unit.dimension !== "length" || setting.unit.system !== "inch") {
        throw new Refusal(`\`${text}\` does not say what it counts`, "write the unit too, for example `+0.005 mm`");
      }
      if (places > 1) {
        throw new Refusal(`\`${text}\` may be tenths or inches`, `write \`${text} tenths\` or \`${text} in\``);
      }
      return unit("tenth");
    }

    return Object.freeze({ unit, quantity, reading });
  }

  /** Where the unit of a match stands in its text. */
  function unitStart(found) {
    const before = found[0].indexOf(found.groups.number) + found.groups.number.length;
    return found[0].indexOf(found.groups.unit, before);
  }

  /** Why a text is not one number with a unit. */
  function notOneQuantity(bare) {
    if (!bare) return new Refusal("a value is missing", "write a number and a unit, for example `0.0015 in`");
    return new Refusal(`\`${bare}\` is not one number with a unit`, "write it like `0.0015 in`");
  }

  /** A refusal at a piece that does not go with the box's unit. */
  function misfit(piece, start, says, own) {
    const what = `\`${piece}\` ${says} but ${own.dimension} is read here`;
    return new Refusal(what, `write the reading in \`${own.symbol}\``, start, start + piece.length);
  }

  /** An angle told from dead centre, negative where it is before it. */
  function aboutCentre(number, typed, printed) {
    if (typed && printed && DATUMS[typed][0] !== DATUMS[printed][0]) {
      throw new Refusal(`\`${typed}\` is not told from ${DATUMS[printed][0]}`, `write the angle \`${printed}\``);
    }
    const datum = typed || printed;
    return datum && DATUMS[datum][1] < 0 ? { ...number, value: exact.negate(number.value) } : number;
  }

  /** A quantity in base units (m, kg, s, K, A, degrees, pieces). @param {Quantity} of @returns {Rational} */
  function base(of) {
    return exact.add(exact.multiply(of.number.value, of.unit.factor), of.unit.offset);
  }

  /** A value in base units as a value in a unit. @returns {Rational} */
  function inUnit(value, unit) {
    return exact.divide(exact.subtract(value, unit.offset), unit.factor);
  }

  Gaugeleaf.reading = Object.freeze({ Refusal, reader, readNumber, base, inUnit, showNumber });
})();
