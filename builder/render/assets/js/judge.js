/**
 * A sheet's readings judged in the browser exactly as `builder/judge` does it on the command line; needs
 * `exact.js`, `grid.js`, `amount.js`, `formula.js`, `reading.js`, `limit.js`, `verdict.js` and
 * `taken.js`.
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
  const { amount, missing, isMissing, isAmount, isTruth, readingsBehind } = Gaugeleaf.amount;
  const { base } = Gaugeleaf.reading;
  const { NO_LIMITS, squared, limitsAt, decide } = Gaugeleaf.verdict;
  const { Taker, position, placeKey, latestOf, laidOut, slipOf } = Gaugeleaf.taken;
  const { ZERO, ONE } = exact;
  const VERSION = 1;

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
      this.taker = new Taker(shared, this.reader);
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
      const steps = new Map(this.asked.map((step) => [step.id, this.step(step)]));
      const every = (part) => [...steps.values()].flatMap((one) => one[part]);
      return { steps, judgements: every("judgements"), corrections: every("corrections") };
    }

    /** Take up job, stage and run; when one is another than before, nothing remembered holds any more. */
    settle(job, stage, run) {
      this.size(job, stage);
      if (this.job === job && this.stage === stage && this.run === run) return;
      Object.assign(this, { job, stage, run });
      this.untouched = stage === "as_found" || (job !== null && job.basis === "overhauled" && stage === "final");
      this.asked = this.program.steps.filter((step) => !step.run || step.run === run);
      this.active = this.grids.filter((of) => this.asked.some((step) => step.id === of.step));
      for (const of of this.grids) Object.assign(of, { stood: null, taken: [], judgements: [] });
      for (const known of [this.remembered, this.shown, this.scope.values, this.scope.pairs]) known.clear();
    }

    /** The size steps and sheets that bear on a stage, and all limits by them: parts as found are not those. */
    size(job, stage) {
      const bears = stage !== "as_found" && job;
      const key = JSON.stringify(bears ? [job.sizes, job.supplier] : []);
      if (this.sized === key) return;
      this.sized = key;
      const read = (of, change) => new Map(Object.entries(of || {}).map(([name, one]) => [name, change(one)]));
      this.sizes = read(bears && job.sizes, (size) => this.sizeOf(size));
      this.sheets = read(bears && job.supplier, (stated) => Gaugeleaf.limit.readStated(stated, this.reader));
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
        this.retake(of, stands);
        this.count(of.name);
      }
      this.scope.values.set(of.name, of.cells);
      for (const one of of.taken) if (one.slip) this.suspect.add(suspicion(one));
    }

    /** Take the readings that are others now; what did not change keeps its cell and its judgement. */
    retake(of, stands) {
      const { stood, taken, judgements } = of;
      const cells = of.cells ? of.cells.cells : [];
      const gauges = (this.job && this.job.gauges) || {};
      const isSame = (index) => stood !== null && stands[index] === stood[index];
      of.stood = stands;
      of.taken = of.blanks.map((blank, index) => (isSame(index) ? taken[index]
        : this.taker.take(of, blank, stands[index], this.limitsOf(blank.rowId, blank.labels), gauges)));
      const slips = of.taken.map((one) => slipOf(one, of.taken));
      const kept = slips.map((slip, index) => isSame(index) && of.taken[index].slip === slip);
      slips.forEach((slip, index) => {
        of.taken[index].slip = slip;
      });
      of.cells = grid(of.dims, of.taken.map((one, index) => (kept[index] ? cells[index] : this.cell(one))));
      of.judgements = of.taken.map((one, index) => (kept[index] ? judgements[index] : this.judged(one)));
    }

    /** Count a name's version up: what stands under it has changed. */
    count(name) {
      this.versions.set(name, (this.versions.get(name) || 0) + 1);
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
        const early = one.reading.when < proof.again;
        if (!elsewhere && proof.out) return `it was taken while \`${proof.name}\` was out`;
        if (!elsewhere && early) return `it was taken before \`${proof.name}\` was put right`;
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

  Gaugeleaf.judging = Object.freeze({ Bench });
})();
