/**
 * A sheet's readings judged in the browser exactly as `builder/judge` does it on the command line; needs
 * `exact.js`, `grid.js`, `amount.js`, `formula.js`, `reading.js` and `verdict.js`.
 *
 * The data are those of `builder/judge/program.py`: `shared` for all checklists and one `program` for each. A
 * sheet and a job are plain objects as their files hold them.
 *
 * @typedef {{step: string, name: string, end: string, at: Object<string, string>, characteristic: string,
 *   value: Rational|null, unit: string, verdict: string, flags: string[], by: Band|null, reasons: string[],
 *   key: string, hint: string}} Judgement
 * @typedef {{step: string, at: Object<string, string>, rule: number, amount: Rational|null, unit: string}} Correction
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const exact = Gaugeleaf.exact;
  const { grid, single, positions, at } = Gaugeleaf.grid;
  const { amount, missing, isMissing, isAmount, isTruth, readingKey, readingsBehind } = Gaugeleaf.amount;
  const { Refusal, base } = Gaugeleaf.reading;
  const { NO_LIMITS, squared, holds, alike, limitsAt, decide, slip } = Gaugeleaf.verdict;
  const { ZERO, ONE } = exact;
  const VERSION = 1;

  // Readings in their blanks (builder/judge/taken.py)

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
      if (day > gauge.due) {
        const by = seen.length ? `, which set ${seen[0]},` : "";
        return `${name}${by} was due on ${gauge.due} and was used on ${day}`;
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

  /** The latest try of every reading of a stage, by its blank. */
  function latestOf(sheet, stage) {
    const latest = new Map();
    for (const reading of sheet.readings) {
      const key = placeKey(reading.step, reading.name, Object.values(reading.at));
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
    return { step: step.id, name: of.name, tool: of.tool, dims, blanks };
  }

  /** The sides of a limit as a formula sees them; an open side is not there. */
  function sidesOf(inForce, aim) {
    const sides = { low: inForce?.low, high: inForce?.high, aim_low: aim?.low, aim_high: aim?.high };
    const stated = Object.entries(sides).filter(([, bound]) => bound);
    return new Map(stated.map(([side, bound]) => [side, single(amount(bound))]));
  }

  /** The names that a formula may look up. */
  function namesIn(node) {
    return node.is === "name" ? [node.text] : (node.parts || []).flatMap(namesIn);
  }

  /** A checklist's judge; it remembers what it worked out, so that one reading changed is quick. */
  class Bench {
    constructor(shared, program) {
      if (program.program !== VERSION) throw new Error(`program version ${program.program} is not ${VERSION}`);
      this.shared = shared;
      this.program = program;
      this.reader = Gaugeleaf.reading.reader(shared.units);
      this.grids = program.steps.flatMap((step) => step.grids.map((of) => laidOut(program, step, of)));
      this.scope = Gaugeleaf.formula.scope({ links: program.links });
      for (const [name, list] of Object.entries(program.lists)) {
        this.scope.steps.set(name, list.sizes.map(([size]) => exact.fromText(size)));
      }
      this.versions = new Map();
      this.remembered = new Map();
      this.names = new Map();
      this.typed = new Map();
    }

    /**
     * Judge the readings of one stage.
     * @param {object} sheet a record @param {object|null} job @param {string} stage
     * @returns {{judgements: Judgement[], corrections: Correction[]}}
     */
    judge(sheet, job, stage) {
      this.job = job;
      this.untouched = stage === "as_found" || (job !== null && job.basis === "overhauled" && stage === "final");
      this.size(job, stage);
      this.suspect = new Set();
      this.taken = this.take(latestOf(sheet, stage));
      this.byReading = new Map(this.taken.flatMap((of) => of.blanks.map((one) => [one.blank.reading, one])));
      this.layOut();
      const found = { judgements: [], corrections: [] };
      for (const step of this.program.steps) this.step(step, found);
      return found;
    }

    /** The size steps that bear on a stage, and all limits moved by them: readings as found take none. */
    size(job, stage) {
      const steps = Object.entries((stage !== "as_found" && job && job.sizes) || {});
      const key = JSON.stringify(steps);
      if (this.sized === key) return;
      this.sized = key;
      this.sizes = new Map(steps.map(([name, text]) => [name, base(this.reader.quantity(text))]));
      for (const [name, row] of Object.entries(this.program.rows)) {
        const { inForce, aim } = limitsAt(row, [], this.sizes);
        this.scope.limits.set(name, sidesOf(inForce, aim));
      }
      this.limits = new Map();
      this.remembered.clear();
    }

    /** The limits of a characteristic at a position. @returns {Limits} */
    limitsOf(rowId, labels) {
      const row = this.program.rows[rowId];
      if (!row) return NO_LIMITS;
      const key = [rowId, ...labels].join("\u0000");
      if (!this.limits.has(key)) this.limits.set(key, limitsAt(row, labels, this.sizes));
      return this.limits.get(key);
    }

    /** Every blank with the reading that stands in it. */
    take(latest) {
      return this.grids.map((of) => {
        const blanks = of.blanks.map((blank) => this.takeOne(of, blank, latest.get(blank.key)));
        for (const one of blanks) one.slip = this.slipOf(one, blanks);
        return { ...of, blanks };
      });
    }

    /** One blank: what was typed read exactly, its limits, its U, its gauge. */
    takeOne(of, blank, reading) {
      const one = { blank, limits: this.limitsOf(blank.rowId, blank.labels), slip: "", stale: "", spread: ZERO };
      if (!reading) return { ...one, refused: "", signature: "" };
      const signature = [reading.typed, reading.unit, reading.setting].join("\u0000");
      const read = this.readOnce(signature, reading, blank.unit);
      if (read.refused) return { ...one, ...read, signature };
      const gauge = this.job && this.job.gauges ? this.job.gauges[reading.gauge] : undefined;
      const uncertainty = this.uncertainty(gauge ? gauge.instrument : of.tool, read.value);
      const isStale = this.job && this.job.gauges ? stale(this.job.gauges, reading) : "";
      return { ...one, ...read, signature, spread: squared(uncertainty), stale: isStale };
    }

    /** What was typed, read or refused, remembered. */
    readOnce(signature, reading, own) {
      const key = `${signature}\u0000${own}`;
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
      const found = this.shared.instruments[instrument];
      if (!found || !found.U) return ZERO;
      const stated = exact.fromText(found.U);
      return found.relative ? exact.multiply(exact.absolute(value), stated) : stated;
    }

    /** Why a reading only makes sense as another one wrongly taken. */
    slipOf(one, blanks) {
      const band = one.limits.inForce;
      if (!one.value || !band || holds(band, one.value)) return "";
      const mates = blanks.filter((other) => {
        const theirs = other.limits.inForce;
        const mate = other !== one && other.value && other.blank.rowId === one.blank.rowId;
        return mate && theirs && alike(band, theirs) && holds(band, other.value);
      });
      const steps = one.blank.row.steps.map(([step, words]) => [exact.fromText(step), words]);
      return slip(one.text, one.value, band, mates.map((other) => other.value), steps);
    }

    /** The readings as grids of the formula language, each with its version. */
    layOut() {
      for (const of of this.taken) {
        this.scope.values.set(of.name, grid(of.dims, of.blanks.map((one) => this.cell(one))));
        this.version(of.name, of.blanks.map((one) => `${one.signature}\u0001${one.slip}`).join("\u0002"));
      }
    }

    /** Count a name's version up when what stands under it has changed. */
    version(name, signature) {
      const known = this.versions.get(name);
      if (known && known.signature === signature) return;
      this.versions.set(name, { signature, count: known ? known.count + 1 : 1 });
    }

    /** What a formula sees of one reading. */
    cell(one) {
      if (!one.value) return one.refused ? missing(one.refused) : one.blank.missing;
      if (!one.slip) return amount(one.value, new Map([[one.blank.reading, ONE]]));
      const where = position(one.blank.at);
      const reason = `\`${one.blank.name}\` at ${where} is suspect: ${one.slip}; retake it`;
      this.suspect.add(reason);
      return missing(reason);
    }

    /** A formula worked out, from memory where nothing that it names has changed. */
    evaluate(formula) {
      if (!this.names.has(formula)) this.names.set(formula, [...new Set(namesIn(formula.node))]);
      const key = this.names.get(formula).map((name) => this.versions.get(name)?.count || 0).join();
      const known = this.remembered.get(formula);
      if (known && known.key === key) return known.value;
      const value = Gaugeleaf.formula.evaluate(formula, this.scope);
      this.remembered.set(formula, { key, value });
      return value;
    }

    /** Everything that one step comes to. */
    step(step, found) {
      for (const of of this.taken) {
        if (of.step === step.id) found.judgements.push(...of.blanks.map((one) => this.judged(one)));
      }
      for (const out of step.workOuts) found.judgements.push(...this.workedOut(step, out));
      step.ifOut.forEach((rule, number) => found.corrections.push(...this.corrections(step, rule, number)));
    }

    /** One reading judged. @returns {Judgement} */
    judged(one) {
      const { blank, value, refused, stale: late } = one;
      const reasons = [refused, one.slip, late].filter(Boolean);
      const unread = { verdict: "not read", flags: [], by: null };
      const decision = value ? decide(value, one.spread, one.limits, this.untouched) : unread;
      if (value && reasons.length) decision.flags = [...decision.flags, "suspect"];
      return {
        step: blank.step, name: blank.name, end: "", at: blank.at, characteristic: blank.rowId, value: value || null,
        unit: value ? one.unit : blank.unit, ...decision, reasons, key: blank.key, hint: one.hint || "",
      };
    }

    /** A worked-out value at every position, each end judged; it is there for the next one to use. */
    workedOut(step, out) {
      const values = Object.entries(out.ends).map(([end, formula]) => [end, this.evaluate(formula)]);
      this.remember(out, new Map(values));
      return values.flatMap(([end, value]) =>
        positions(value.dims).map((place, index) => this.worked(step, out, end, place, value.cells[index])));
    }

    /** Put a worked-out value where later formulas find it. */
    remember(out, values) {
      if (values.has("")) this.scope.values.set(out.name, values.get(""));
      else if (values.has("least") && values.has("most")) {
        this.scope.pairs.set(out.name, { least: values.get("least"), most: values.get("most") });
      }
      this.version(out.name, Object.values(out.ends).map((formula) => this.remembered.get(formula).key).join());
    }

    /** One worked-out value at one position. @returns {Judgement} */
    worked(step, out, end, place, cell) {
      const labels = [...place.values()];
      const named = {
        step: step.id, name: out.name, end, at: Object.fromEntries(place), characteristic: out.against, value: null,
        unit: out.unit, key: placeKey(step.id, out.name, labels), hint: "",
      };
      if (isAmount(cell)) return { ...named, value: cell.value, ...this.decided(cell, out.against, labels, end) };
      const reason = isMissing(cell) ? cell.missing : "it is an answer, not a value";
      const flags = this.suspect.has(reason) ? ["suspect"] : [];
      return { ...named, verdict: "not read", flags, by: null, reasons: [reason] };
    }

    /** Judge an amount; its U is the root-sum-square of what each reading's U does to it. */
    decided(cell, rowId, labels, end) {
      let spread = ZERO;
      const late = new Set();
      for (const [key, effect] of cell.effects) {
        const one = this.byReading.get(key);
        if (!one) continue;
        spread = exact.add(spread, exact.multiply(one.spread, squared(effect)));
        if (one.stale) late.add(one.stale);
      }
      const decision = decide(cell.value, spread, this.limitsOf(rowId, labels), this.untouched, end);
      if (late.size) decision.flags = [...decision.flags, "suspect"];
      return { ...decision, reasons: [...late] };
    }

    /** What a step says to do, at each position where its test holds. @returns {Correction[]} */
    corrections(step, rule, number) {
      const tested = this.evaluate(rule.when);
      return positions(tested.dims).flatMap((place, index) => {
        const cell = tested.cells[index];
        if (!isTruth(cell) || !cell.holds) return [];
        const sound = ![...readingsBehind(cell)].some((key) => this.byReading.get(key)?.stale);
        const found = sound && rule.amount ? at(this.evaluate(rule.amount), place) : undefined;
        return [{
          step: step.id, at: Object.fromEntries(place), rule: number, unit: rule.unit,
          amount: found && isAmount(found) ? found.value : null,
        }];
      });
    }
  }

  Gaugeleaf.judging = Object.freeze({ Bench, position, placeKey });
})();
