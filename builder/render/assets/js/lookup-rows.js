/**
 * Rows as `builder/render/find_data.py` packs them, read one by one when they are shown.
 *
 * @typedef {{number: string, unit: string, after: string, metric: boolean}} Measure
 * @typedef {{kind: string, place: string, shown: Measure, partner: Measure | null, remark: string, decides: boolean,
 *   cites: {text: string, href: string}[]}} Value
 * @typedef {{code: string, title: string, number: number, href: string}} Step
 * @typedef {{family: number, title: string, code: string, values: Value[], unknown: string, state: string[],
 *   facts: string[], instrument: {text: string, href: string} | null, why: string, read_in: Step[],
 *   named_in: Step[], remedies: {side: string, text: string, step: Step, then: Step | null}[], follows: string,
 *   mates: number[], sizes: {of: string, size: string, shown: Measure, partner: Measure | null}[],
 *   torque_card: string}} Row
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;

  /** The rows of a manual: by subject, for all families or for one. */
  function rowsOf(data, index) {
    const lines = data.lines.split("\n");
    const strings = data.strings.split("\n");
    const steps = data.steps.split("\n");
    const first = new Int32Array(index.subjects.length + 1);
    index.subjects.forEach((_, subject) => {
      first[subject + 1] = first[subject] + index.groups[index.had_by[subject]].length;
    });
    const known = new Map();

    /** The row on a line. @returns {Row} */
    function row(line) {
      if (!known.has(line)) known.set(line, unpacked(JSON.parse(lines[line]), strings, steps));
      return known.get(line);
    }

    /** How many families have a subject; with `family` not -1, whether that one has it. @returns {number} */
    function count(subject, family) {
      const families = index.groups[index.had_by[subject]];
      return family < 0 ? families.length : Number(families.includes(family));
    }

    /** The first `most` rows of a subject, of one family or (-1) of all. @returns {Row[]} */
    function of(subject, family, most) {
      const families = index.groups[index.had_by[subject]];
      if (family >= 0) {
        const place = families.indexOf(family);
        return place < 0 ? [] : [row(first[subject] + place)];
      }
      return families.slice(0, most).map((_, place) => row(first[subject] + place));
    }

    return { of, count };
  }

  /** @returns {Row} */
  function unpacked(line, strings, steps) {
    const [family, title, code, values, unknown, state, facts, instrument, why, read, named, ...rest] = line;
    const [remedies, follows, mates, sizes, torque_card] = rest;
    const step = (number) => unpackedStep(JSON.parse(steps[number]), strings);
    return {
      family,
      title: strings[title],
      code: strings[code],
      values: values.map((value) => unpackedValue(value, strings)),
      unknown: strings[unknown],
      state: state.map((said) => strings[said]),
      facts: facts.map((fact) => strings[fact]),
      instrument: instrument ? { text: strings[instrument[0]], href: strings[instrument[1]] } : null,
      why: strings[why],
      read_in: read.map(step),
      named_in: named.map(step),
      remedies: remedies.map(([side, text, at, then]) => ({
        side: strings[side],
        text: strings[text],
        step: step(at),
        then: then < 0 ? null : step(then),
      })),
      follows: strings[follows],
      mates,
      sizes: sizes.map(([of, size, shown, partner]) => ({
        of: strings[of],
        size: strings[size],
        shown: unpackedMeasure(shown, strings),
        partner: partner ? unpackedMeasure(partner, strings) : null,
      })),
      torque_card: strings[torque_card],
    };
  }

  /** @returns {Value} */
  function unpackedValue([kind, place, shown, partner, remark, decides, cites], strings) {
    return {
      kind,
      place: strings[place],
      shown: unpackedMeasure(shown, strings),
      partner: partner ? unpackedMeasure(partner, strings) : null,
      remark: strings[remark],
      decides: Boolean(decides),
      cites: cites.map(([text, href]) => ({ text: strings[text], href: strings[href] })),
    };
  }

  /** @returns {Measure} */
  function unpackedMeasure([number, unit, after, metric], strings) {
    return { number, unit: strings[unit], after: strings[after], metric: Boolean(metric) };
  }

  /** @returns {Step} */
  function unpackedStep([code, title, page, anchor, number], strings) {
    return {
      code: strings[code],
      title: strings[title],
      number,
      href: `${strings[page]}#${encodeURIComponent(strings[anchor])}`,
    };
  }

  Gaugeleaf.lookupRows = rowsOf;
  Gaugeleaf.lookupUnpacked = { value: unpackedValue, measure: unpackedMeasure, step: unpackedStep };
})();
