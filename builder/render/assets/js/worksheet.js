/**
 * A worksheet worked out in the browser; needs the scripts of the evaluator and `reading.js`.
 *
 * The browser's half of `worksheet/work.py` and `worksheet/words.py`: the same values, the same sentences where
 * there is none, the same lines of text. Nothing is thrown: what cannot be worked out says why.
 *
 * @typedef {{name: string, typed: string, byDefault: boolean, read: object[], why: string, hint: string}} Entry
 * @typedef {{name: string, value: Rational|null, text: string, partner: string, why: string, approximate: boolean}} Line
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { exact, formula, reading } = Gaugeleaf;
  const { amount, missing, isAmount, isMissing } = Gaugeleaf.amount;
  const { grid, single } = Gaugeleaf.grid;
  const VERSION = 1;
  const LARGEST = exact.whole(10n ** 12n);
  const DIFFERENCES = ["Fdeg", "Cdeg"];
  const BACKWARDS = ["BTDC", "BBDC"];
  const TOLD = /\b(BTDC|TDC|ATDC|BBDC|BDC|ABDC)[ \t]*$/u;
  const EDGES = /^[ \t\r\n]+|[ \t\r\n]+$/gu;

  const plain = (name) => name.replace(/_/gu, " ");

  /**
   * What works worksheets out.
   * @param {{units: object, labels: object}} shared the JSON of `exported_units`
   */
  function worker(shared) {
    const reader = reading.reader(shared.units);
    const labels = new Map(Object.entries(shared.labels));
    const label = (symbol) => labels.get(symbol) || symbol;
    const dimension = (symbol) => reader.unit(symbol).dimension;

    /** A number with its unit as a page prints it. */
    function withUnit(number, symbol) {
      if (symbol === "ratio" || dimension(symbol) === "count") return number;
      return `${number}${label(symbol) === "°" ? "" : " "}${label(symbol)}`;
    }

    /** A temperature, or a difference of temperatures. */
    function sort(unit) {
      return DIFFERENCES.includes(unit.symbol) ? "a difference of temperatures" : "a temperature";
    }

    /** Whether one is a temperature and the other a difference of temperatures. */
    function mixes(one, other) {
      const scale = (unit) => unit.offset.n !== 0n;
      return (scale(one) && DIFFERENCES.includes(other.symbol)) || (scale(other) && DIFFERENCES.includes(one.symbol));
    }

    /** One quantity, an angle told from the input's own crank position. */
    function one(own, text, unit) {
      const told = TOLD.exec(text);
      if (told && !own.datum) {
        throw new reading.Refusal(`\`${told[1]}\` says from where, but here only the degrees count`, "leave it out");
      }
      const read = reader.reading(text, unit, { datum: own.datum });
      const wanted = reader.unit(own.unit);
      if (mixes(read.unit, wanted)) {
        const what = `\`${read.unit.symbol}\` is ${sort(read.unit)} but ${sort(wanted)} is wanted`;
        throw new reading.Refusal(what, `write it in \`${wanted.symbol}\``);
      }
      return own.datum ? toldFrom(own.datum, read) : read;
    }

    /** The quantities of an input; a list is in the unit of its last. */
    function many(own, text) {
      if (!own.many) return [one(own, text, own.unit)];
      const items = text.split(",");
      const last = one(own, items[items.length - 1], own.unit);
      return [...items.slice(0, -1).map((item) => one(own, item, last.unit.symbol)), last];
    }

    /** One input with what was typed in it. @returns {Entry} */
    function entry(own, typed) {
      const bare = (typed || "").replace(EDGES, "");
      const text = bare || own.default;
      const byDefault = !bare && Boolean(text);
      const blank = { name: own.name, own, typed: text, byDefault, read: [], why: "", hint: "" };
      if (!text) return { ...blank, why: `\`${own.name}\` is not typed yet` };
      try {
        return { ...blank, read: many(own, text) };
      } catch (refusal) {
        if (!(refusal instanceof reading.Refusal)) throw refusal;
        return { ...blank, why: `\`${own.name}\`: ${refusal.message}`, hint: refusal.hint };
      }
    }

    /** What a formula sees of an input: one amount, or a row of them. */
    function valueOf(from) {
      const cells = from.why ? [missing(from.why)] : from.read.map((quantity) => amount(reading.base(quantity)));
      if (!from.own.many) return single(cells[0]);
      return grid(new Map([["item", cells.map((_, place) => String(place + 1))]]), cells);
    }

    /** One step. @returns {Line} */
    function line(step, cell) {
      const lost = (why) => ({ name: step.name, value: null, text: why, partner: "", why, approximate: false });
      if (!isAmount(cell)) return lost(isMissing(cell) ? cell.missing : `\`${step.name}\` is no number`);
      const value = reading.inUnit(cell.value, reader.unit(step.unit));
      if (exact.compare(exact.absolute(value), LARGEST) >= 0) {
        return lost(`\`${step.name}\` comes out too large to be true: look at what was typed`);
      }
      const written = (unit, decimals) =>
        withUnit(reading.showNumber(reading.inUnit(cell.value, reader.unit(unit)), decimals), unit);
      const beside = step.partner;
      return {
        name: step.name, value, text: written(step.unit, step.decimals), why: "",
        partner: beside ? written(beside.unit, beside.decimals) : "", approximate: Boolean(cell.approximate),
      };
    }

    /**
     * Work a worksheet out from texts as typed; a blank input takes its default.
     * @param {object} sheet the JSON of `exported` @param {Object<string, string>} given
     * @returns {{entries: Entry[], lines: Line[]}}
     */
    function work(sheet, given) {
      if (sheet.worksheet !== VERSION) throw new Error(`worksheet version ${sheet.worksheet} is not ${VERSION}`);
      const entries = sheet.inputs.map((own) => entry(own, given[own.name]));
      const lost = new Map(entries.filter((from) => from.why).map((from) => [from.name, from.why]));
      const scope = formula.scope({});
      for (const from of entries) {
        scope.values.set(from.name, valueOf(from));
        if (from.own.many) scope.steps.set(from.name, from.read.map(reading.base));
      }
      const lines = sheet.lines.map((step) => {
        const used = step.uses.find((name) => lost.has(name));
        const value = used === undefined ? formula.evaluate(step.formula, scope) : single(missing(lost.get(used)));
        const found = line(step, value.cells[0]);
        if (found.value === null) lost.set(step.name, found.why);
        scope.values.set(step.name, value);
        return found;
      });
      return { entries, lines };
    }

    /** What was read, each with its unit, as typed. */
    function valueText(from) {
      return from.read.map((quantity) => withUnit(quantity.number.text, quantity.unit.symbol)).join(", ");
    }

    /** What was typed, or why it does not count. */
    function entryText(from) {
      if (from.why) return from.hint ? `${from.why} (${from.hint})` : from.why;
      return valueText(from) + (from.byDefault ? " (default)" : "");
    }

    /** A formula as text, its names or their values. */
    function written(pieces, values) {
      return pieces.map((piece) => (Array.isArray(piece) ? inPlace(piece, values.get(piece[0])) : piece)).join("");
    }

    /** The lines that `gaugeleaf calc` prints. @returns {string[]} */
    function lines(sheet, worked) {
      const width = Math.max(0, ...sheet.inputs.map((own) => own.name.length));
      const values = new Map(worked.entries.filter((from) => !from.why).map((from) => [from.name, valueText(from)]));
      const said = [...sheet.head, ""];
      for (const from of worked.entries) said.push(`  ${from.name.padEnd(width)}  ${entryText(from)}`);
      said.push("");
      worked.lines.forEach((found, place) => {
        const { name, written: pieces } = sheet.lines[place];
        const under = " ".repeat(name.length);
        said.push(`  ${plain(name)} = ${written(pieces, new Map())}`);
        if (found.value === null) said.push(`  ${under} : ${found.why}`);
        else said.push(`  ${under} = ${written(pieces, values)} = ${resultText(found)}`);
        values.set(name, found.text);
      });
      if (worked.lines.some((found) => found.approximate)) said.push(`  (${sheet.note})`);
      const answer = worked.lines[worked.lines.length - 1];
      said.push("", `${plain(answer.name)}: ${resultText(answer)}`);
      if (sheet.caution) said.push(`mind: ${sheet.caution}`);
      return said;
    }

    return Object.freeze({ work, lines, valueText, label });
  }

  /** An angle kept about dead centre as degrees before, or after, it: below zero on the other side. */
  function toldFrom(datum, read) {
    const kept = read.number.value;
    const value = BACKWARDS.includes(datum) ? exact.negate(kept) : kept;
    const text = (value.n < 0n ? "-" : "") + read.number.text.replace(/^[+\-− ]+/u, "");
    return { ...read, number: { ...read.number, value, text } };
  }

  /** A name, or its value in its place: in brackets where a power follows or a sign stands before it. */
  function inPlace([name, raised], value) {
    if (value === undefined) return plain(name);
    return (raised && value.includes(" ")) || /^[-−]/u.test(value) ? `(${value})` : value;
  }

  /** A value in both systems, or why there is none. */
  function resultText(found) {
    return found.partner ? `${found.text} (${found.partner})` : found.text;
  }

  Gaugeleaf.worksheet = Object.freeze({ worker, inPlace, resultText, plain });
})();
