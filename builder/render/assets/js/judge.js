/**
 * A sheet's readings judged in the browser exactly as `builder/judge` does it on the command line; needs
 * `exact.js`, `grid.js`, `amount.js`, `formula.js`, `reading.js`, `limit.js` and `verdict.js`.
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
    return { step: step.id, name: of.name, tool: of.tool, reliesOn: of.reliesOn, dims, blanks };
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

  /** Why nothing is worked out of a reading that looks wrongly taken. */
  function suspicion({ blank, slip: why }) {
    return `\`${blank.name}\` at ${position(blank.at)} is suspect: ${why}; retake it`;
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
      this.shown = new Map();
    }

    /**
     * Judge the readings of one stage. What did not change since the last time comes back as the same object.
     * @param {object} sheet a record @param {object|null} job @param {string} stage
     * @returns {{judgements: Judgement[], corrections: Correction[], steps: Map<string, object>}}
     */
    judge(sheet, job, stage) {
      this.settle(job, stage, sheet.run);
      this.suspect = new Set();
      this.proofs = new Map();
      const latest = latestOf(sheet, stage);
      for (const of of this.active) this.take(of, latest);
      this.byReading = new Map(this.active.flatMap((of) => of.taken.map((one) => [one.blank.reading, one])));
      const asked = this.program.steps.filter((step) => !step.run || step.run === sheet.run);
      const steps = new Map(asked.map((step) => [step.id, this.step(step)]));
      const every = (part) => [...steps.values()].flatMap((one) => one[part]);
      return { steps, judgements: every("judgements"), corrections: every("corrections") };
    }

    /** Take up job, stage and run; when one is another than before, nothing remembered holds any more. */
    settle(job, stage, run) {
      this.size(job, stage);
      if (this.job === job && this.stage === stage && this.run === run) return;
      Object.assign(this, { job, stage, run });
      this.untouched = stage === "as_found" || (job !== null && job.basis === "overhauled" && stage === "final");
      const asked = new Set(this.program.steps.filter((step) => !step.run || step.run === run).map((step) => step.id));
      this.active = this.grids.filter((of) => asked.has(of.step));
      for (const of of this.grids) Object.assign(of, { stood: null, taken: [], judgements: [] });
      for (const known of [this.remembered, this.shown, this.scope.values, this.scope.pairs]) known.clear();
    }

    /** The size steps and sheets that bear on a stage, and all limits by them: parts as found are not those. */
    size(job, stage) {
      const bears = stage !== "as_found" && job;
      const key = JSON.stringify(bears ? [job.sizes, job.supplier] : []);
      if (this.sized === key) return;
      this.sized = key;
      this.sizes = new Map(Object.entries((bears && job.sizes) || {}).map(([name, size]) => [name, this.sizeOf(size)]));
      this.sheets = new Map(Object.entries((bears && job.supplier) || {}).map(([name, stated]) =>
        [name, Gaugeleaf.limit.readStated(stated, this.reader)]));
      this.limits = new Map();
      for (const name of Object.keys(this.program.rows)) {
        const { inForce, aim } = this.limitsOf(name, []);
        this.scope.limits.set(name, sidesOf(inForce, aim));
      }
      this.job = undefined; // nothing remembered holds any more
    }

    /** A size step in base units: one for all positions, or by label with "" for those not named. */
    sizeOf(size) {
      const read = (text) => base(this.reader.quantity(text));
      if (typeof size !== "object") return read(size);
      const by = new Map(Object.entries(size).map(([label, text]) => [label === "all" ? "" : label, read(text)]));
      return by.size === 1 && by.has("") ? by.get("") : by;
    }

    /** The limits of a characteristic at a position. @returns {Limits} */
    limitsOf(rowId, labels) {
      const row = this.program.rows[rowId];
      if (!row) return NO_LIMITS;
      const key = [rowId, ...labels].join("\u0000");
      if (!this.limits.has(key)) this.limits.set(key, limitsAt(row, labels, this.sizes, this.sheets.get(rowId)));
      return this.limits.get(key);
    }

    /** The blanks of a grid with the readings that stand in them, taken anew where one is another than before. */
    take(of, latest) {
      const stands = of.blanks.map((blank) => latest.get(blank.key));
      if (!of.stood || stands.some((one, index) => one !== of.stood[index])) {
        of.stood = stands;
        of.taken = of.blanks.map((blank, index) => this.takeOne(of, blank, stands[index]));
        for (const one of of.taken) one.slip = this.slipOf(one, of.taken);
        of.cells = grid(of.dims, of.taken.map((one) => this.cell(one)));
        of.judgements = of.taken.map((one) => this.judged(one));
        this.count(of.name);
      }
      this.scope.values.set(of.name, of.cells);
      for (const one of of.taken) if (one.slip) this.suspect.add(suspicion(one));
    }

    /** Count a name's version up: what stands under it has changed. */
    count(name) {
      this.versions.set(name, (this.versions.get(name) || 0) + 1);
    }

    /** One blank: what was typed read exactly, its limits, its U, its gauge. */
    takeOne(of, blank, reading) {
      const limits = this.limitsOf(blank.rowId, blank.labels);
      const one = { blank, reading, limits, slip: "", stale: "", doubt: "", spread: ZERO };
      if (!reading) return { ...one, refused: "" };
      const read = this.readOnce(reading, blank.unit);
      if (read.refused) return { ...one, ...read };
      const gauge = this.job && this.job.gauges ? this.job.gauges[reading.gauge] : undefined;
      const uncertainty = this.uncertainty(gauge ? gauge.instrument : of.tool, read.value);
      const isStale = this.job && this.job.gauges ? stale(this.job.gauges, reading) : "";
      return { ...one, ...read, spread: squared(uncertainty), stale: isStale };
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

    /** What a formula sees of one reading. */
    cell(one) {
      if (!one.value) return one.refused ? missing(one.refused) : one.blank.missing;
      return one.slip ? missing(suspicion(one)) : amount(one.value, new Map([[one.blank.reading, ONE]]));
    }

    /** A formula worked out, from memory where nothing that it names has changed. */
    evaluate(formula) {
      if (!this.names.has(formula)) this.names.set(formula, [...new Set(namesIn(formula.node))]);
      const key = this.names.get(formula).map((name) => this.versions.get(name) || 0).join();
      return this.fresh(formula, key, () => Gaugeleaf.formula.evaluate(formula, this.scope));
    }

    /** What was worked out under a key, worked out anew when the key is another. */
    fresh(what, key, work) {
      const known = this.remembered.get(what);
      if (known && known.key === key) return known.value;
      const value = work();
      this.remembered.set(what, { key, value });
      return value;
    }

    /** Look at what the readings of a grid rely on: those taken while it was out do not stand. */
    doubt(of) {
      const doubts = of.taken.map((one) => this.doubtOf(of, one));
      if (doubts.every((why, index) => why === of.taken[index].doubt)) return;
      doubts.forEach((why, index) => {
        of.taken[index].doubt = why;
      });
      of.judgements = of.taken.map((one) => this.judged(one));
      of.cells = grid(of.dims, [...of.cells.cells]);
      this.scope.values.set(of.name, of.cells);
      this.count(of.name);
    }

    /** Why one reading does not stand although its gauge is good, in words; empty when it does. */
    doubtOf(of, one) {
      if (!one.reading) return "";
      for (const proof of of.reliesOn.flatMap((name) => this.proofs.get(name) || [])) {
        const { at: where } = one.blank;
        const elsewhere = Object.entries(proof.at).some(([side, label]) => side in where && where[side] !== label);
        if (!elsewhere && proof.out) return `it was taken while \`${proof.name}\` was out`;
        if (!elsewhere && one.reading.when < proof.again) return `it was taken before \`${proof.name}\` was put right`;
      }
      return "";
    }

    /** What a worked-out value says of the readings that rely on it. */
    proofOf(judgement, cell) {
      const behind = [...readingsBehind(cell)].map((key) => this.byReading.get(key)?.reading).filter(Boolean);
      const times = behind.filter((reading) => reading.try > 1).map((reading) => reading.when);
      const again = times.reduce((last, when) => (when > last ? when : last), "");
      return { name: judgement.name, at: judgement.at, out: judgement.verdict === "out", again };
    }

    /** Everything that one step comes to; the same object as before where nothing in it has changed. */
    step(step) {
      const grids = this.active.filter((of) => of.step === step.id);
      for (const of of grids) this.doubt(of);
      const parts = grids.map((of) => of.judgements);
      parts.push(...step.workOuts.map((out) => this.workedOut(step, out)));
      const rules = step.ifOut.map((rule, number) => this.corrections(step, rule, number));
      const known = this.shown.get(step.id);
      const same = known && [...parts, ...rules].every((part, index) => part === known.made[index]);
      if (same) return known;
      const found = { made: [...parts, ...rules], judgements: parts.flat(), corrections: rules.flat() };
      this.shown.set(step.id, found);
      return found;
    }

    /** One reading judged. @returns {Judgement} */
    judged(one) {
      const { blank, value } = one;
      const reasons = [one.refused, one.slip, one.stale, one.doubt].filter(Boolean);
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
      const before = this.remembered.get(out);
      const same = before && values.every(([, value], index) => value === before.key[index]);
      const made = same ? before : this.judgeWorked(step, out, values);
      this.proofs.set(out.name, [...(this.proofs.get(out.name) || []), ...made.proofs]);
      return made.value;
    }

    /** A worked-out value judged at every position, and what each says of the readings that rely on it. */
    judgeWorked(step, out, values) {
      this.count(out.name);
      const cells = values.flatMap(([end, value]) =>
        positions(value.dims).map((place, index) => ({ end, place, cell: value.cells[index] })));
      const judgements = cells.map(({ end, place, cell }) => this.worked(step, out, end, place, cell));
      const proofs = judgements.map((one, index) => this.proofOf(one, cells[index].cell));
      const made = { key: values.map(([, value]) => value), value: judgements, proofs };
      this.remembered.set(out, made);
      return made;
    }

    /** Put a worked-out value where later formulas find it. */
    remember(out, values) {
      if (values.has("")) this.scope.values.set(out.name, values.get(""));
      else if (values.has("least") && values.has("most")) {
        this.scope.pairs.set(out.name, { least: values.get("least"), most: values.get("most") });
      }
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
        for (const why of [one.stale, one.doubt]) if (why) late.add(why);
      }
      const decision = decide(cell.value, spread, this.limitsOf(rowId, labels), this.untouched, end);
      if (late.size) decision.flags = [...decision.flags, "suspect"];
      return { ...decision, reasons: [...late] };
    }

    /** What a step says to do, at each position where its test holds. @returns {Correction[]} */
    corrections(step, rule, number) {
      const tested = this.evaluate(rule.when);
      const amounts = rule.amount ? this.evaluate(rule.amount) : null;
      const before = this.remembered.get(rule);
      if (before && before.key[0] === tested && before.key[1] === amounts) return before.value;
      const value = positions(tested.dims).flatMap((place, index) =>
        this.correction(step, number, place, tested.cells[index], amounts));
      this.remembered.set(rule, { key: [tested, amounts], value });
      return value;
    }

    /** What to do at one position: nothing, or the correction with its amount where every reading is sound. */
    correction(step, number, place, cell, amounts) {
      if (!isTruth(cell) || !cell.holds) return [];
      const behind = [...readingsBehind(cell)].map((key) => this.byReading.get(key)).filter(Boolean);
      const sound = !behind.some((one) => one.stale || one.doubt);
      const found = sound && amounts ? at(amounts, place) : undefined;
      const told = found && isAmount(found) ? found.value : null;
      return [{
        step: step.id, at: Object.fromEntries(place), rule: number, unit: step.ifOut[number].unit, amount: told,
      }];
    }
  }

  Gaugeleaf.judging = Object.freeze({ Bench, position, placeKey });
})();
