/**
 * The readings of a sheet in their blanks: what was typed, read exactly, its gauge, its uncertainty, its slips. The
 * browser's half of `builder/judge/taken.py`; needs `exact.js`, `grid.js`, `amount.js`, `formula.js`, `reading.js`
 * and `verdict.js`.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const exact = Gaugeleaf.exact;
  const { positions } = Gaugeleaf.grid;
  const { missing, readingKey } = Gaugeleaf.amount;
  const { Refusal, base } = Gaugeleaf.reading;
  const { squared, holds, alike, slip } = Gaugeleaf.verdict;
  const { ZERO } = exact;

  /** A position in words: `main 4, plane front, axis A`. */
  function position(place) {
    return Object.entries(place).map(([side, label]) => `${side.replaceAll("_", " ")} ${label}`).join(", ");
  }

  /** Why a gauge cannot be trusted on the day of a reading: past its date, or set by one that is. */
  function stale(gauges, reading) {
    const day = reading.when.slice(0, 10);
    const seen = [];
    let name = reading.gauge;
    while (name && Object.hasOwn(gauges, name) && !seen.includes(name)) {
      const gauge = gauges[name];
      const by = seen.length ? `, which set ${seen[0]},` : "";
      if (day > gauge.due) return `${name}${by} was due on ${gauge.due} and was used on ${day}`;
      if (gauge.last_good && day > gauge.last_good) {
        return `${name}${by} was last good on ${gauge.last_good} and was used on ${day}`;
      }
      seen.push(name);
      name = gauge.set_to || "";
    }
    return "";
  }

  /** The key of a blank: step, measurement, labels in the order of the grid's sides. */
  function placeKey(step, name, labels) {
    return [step, name, ...labels].join("\u0000");
  }

  const keys = new WeakMap();

  /** The key of the blank in which a reading stands; remembered for each reading. */
  function keyOf(reading) {
    if (!keys.has(reading)) keys.set(reading, placeKey(reading.step, reading.name, Object.values(reading.at)));
    return keys.get(reading);
  }

  /** The latest try of every reading of a stage, by its blank. */
  function latestOf(sheet, stage) {
    const latest = new Map();
    for (const reading of sheet.readings) {
      const key = keyOf(reading);
      const before = latest.get(key);
      if (reading.stage === stage && (!before || before.try <= reading.try)) latest.set(key, reading);
    }
    return latest;
  }

  /** A grid's blanks laid out once: where each stands, its unit and what it is held against. */
  function laidOut(program, step, of) {
    const dims = new Map(of.sides);
    const blanks = positions(dims).map((place, index) => {
      const labels = [...place.values()];
      const row = program.rows[of.against[index]] || null;
      return {
        step: step.id, name: of.name, labels, at: Object.fromEntries(place), row, rowId: of.against[index] || "",
        unit: of.stated || (row ? row.unit : ""), key: placeKey(step.id, of.name, labels),
        reading: readingKey(of.name, labels), missing: missing(Gaugeleaf.formula.notRead(of.name, place)),
      };
    });
    return { step: step.id, name: of.name, tool: of.tool, reliesOn: of.reliesOn, dims, blanks };
  }

  /** Why a reading only makes sense as another one wrongly taken, or empty. */
  function slipOf(one, blanks) {
    const band = one.limits.inForce;
    if (!one.value || !band || holds(band, one.value)) return "";
    const others = blanks.filter((other) => {
      const theirs = other.limits.inForce;
      const same = other !== one && other.value && other.blank.rowId === one.blank.rowId;
      return same && theirs && alike(band, theirs);
    });
    const mates = others.filter((other) => holds(band, other.value));
    // where wear has left no mate inside the limit, a step over the limit says nothing
    const listed = mates.length || !others.length ? one.blank.row.steps : [];
    const steps = listed.map(([step, words]) => [exact.fromText(step), words]);
    return slip(one.text, one.value, band, mates.map((other) => other.value), steps);
  }

  /** Reads what was typed into a blank; it remembers, so that nothing is read twice. */
  class Taker {
    constructor(shared, reader) {
      this.instruments = shared.instruments;
      this.reader = reader;
      this.typed = new Map();
    }

    /** One blank: what was typed read exactly, its limits, the square of its U, why its gauge is not trusted. */
    take(of, blank, reading, limits, gauges) {
      const one = { blank, reading, limits, slip: "", stale: "", doubt: "", spread: ZERO };
      if (!reading) return { ...one, refused: "" };
      const read = this.readOnce(reading, blank.unit);
      if (read.refused) return { ...one, ...read };
      const instrument = Object.hasOwn(gauges, reading.gauge) ? gauges[reading.gauge].instrument : of.tool;
      const spread = squared(this.uncertainty(instrument, read.value));
      return { ...one, ...read, spread, stale: stale(gauges, reading) };
    }

    /** What was typed, read or refused, remembered. */
    readOnce(reading, own) {
      const key = [reading.typed, reading.unit, reading.setting, own].join("\u0000");
      if (!this.typed.has(key)) this.typed.set(key, this.read(reading, own));
      return this.typed.get(key);
    }

    /** What was typed as a value in base units, or why it is refused. */
    read(reading, own) {
      try {
        if (reading.setting) this.reader.quantity(reading.setting);
        this.reader.unit(reading.unit);
        const quantity = this.reader.reading(reading.typed, reading.unit, { setting: reading.setting });
        const wanted = own ? this.reader.unit(own).dimension : quantity.unit.dimension;
        if (quantity.unit.dimension !== wanted) {
          const [typed, symbol, found] = [reading.typed, quantity.unit.symbol, quantity.unit.dimension];
          throw new Refusal(`\`${typed} ${symbol}\` is a ${found}, a ${wanted} is read here`, "");
        }
        return { value: base(quantity), text: quantity.number.text, unit: quantity.unit.symbol, refused: "" };
      } catch (refusal) {
        if (!(refusal instanceof Refusal)) throw refusal;
        return { refused: refusal.message, hint: refusal.hint };
      }
    }

    /** The expanded uncertainty U (k = 2) of a reading with an instrument; zero where none is stated. */
    uncertainty(instrument, value) {
      const found = this.instruments[instrument];
      if (!found || !found.U) return ZERO;
      const stated = exact.fromText(found.U);
      return found.relative ? exact.multiply(exact.absolute(value), stated) : stated;
    }
  }

  Gaugeleaf.taken = Object.freeze({ Taker, position, placeKey, latestOf, laidOut, slipOf });
})();
