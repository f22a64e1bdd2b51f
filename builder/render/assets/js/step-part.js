/**
 * One step of a checklist on the page: its grids, its worked-out values, what is looked at, what to do when a value
 * is out, its tick. It asks the page to write and shows what the judge said.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { say } = Gaugeleaf.view;
  const { position } = Gaugeleaf.taken;
  const record = Gaugeleaf.record;
  const NO_AMOUNT = "the amount";
  const UNSOUND = "Retake the suspect readings first: the amount is told once every reading behind it is sound.";
  const DECIMALS = { in: 4, "lb-ft": 1 };

  /** A step as a whole. */
  class StepPart {
    constructor(page, step) {
      Object.assign(this, { page, step });
      this.root = document.getElementById(`step-${step.id}`);
      const within = (kind, name) => this.root.querySelector(`[data-${kind}="${CSS.escape(name)}"]`);
      this.grids = step.grids.map((of) => {
        const laid = page.bench.grids.find((one) => one.step === step.id && one.name === of.name);
        const named = { ...of, step: step.id, key: `${step.id}/${of.name}` };
        return new Gaugeleaf.GridPart(page, within("grid", of.name), named, laid);
      });
      this.results = step.workOuts.map((out) => new Gaugeleaf.ResultPart(page, within("result", out.name), out));
      this.tick = this.root.querySelector("[data-tick]");
      this.doneBy = this.root.querySelector("[data-done-by]");
      this.missing = this.root.querySelector("[data-missing]");
      this.more = new Gaugeleaf.MorePart(page, this);
      this.outs = this.root.querySelector("[data-if-outs]");
      this.tick.addEventListener("change", () => this.onTick());
      this.root.addEventListener("change", (event) => this.onLook(event.target));
      this.root.addEventListener("click", (event) => this.onPass(event.target));
    }

    onTick() {
      const refused = this.page.tickRefusal(this.step);
      if (this.tick.checked && refused) {
        this.tick.checked = false;
        return this.page.tell(refused);
      }
      const { record: now, by } = this.page;
      return this.page.write(record.tick(now, this.step.id, this.tick.checked, by, this.page.now()));
    }

    onLook(target) {
      const field = target.closest("[data-look]");
      if (target.type !== "radio" || !field) return;
      const place = { step: this.step.id, name: field.dataset.look, at: this.lookAt(field.dataset.look, target) };
      this.page.at(this.step.id);
      this.page.write(record.look(this.page.record, place, target.value, this.page.by, this.page.now()));
    }

    /** Which one is looked at. */
    lookAt(name, target) {
      const look = this.step.looks.find((one) => one.name === name);
      const labels = target.closest("[data-place]").dataset.place;
      return labels ? Object.fromEntries(look.sides.map((side, index) => [side, labels.split("|")[index]])) : {};
    }

    /** Everything that is looked at in the step: name and position. */
    lookPlaces() {
      return [...this.root.querySelectorAll("[data-look] [data-place]")].map((row) => {
        const name = row.closest("[data-look]").dataset.look;
        return { step: this.step.id, name, at: this.lookAt(name, row) };
      });
    }

    onPass(target) {
      if (target.dataset.pass === undefined) return;
      const { shownRule, told, at } = target.closest("[data-shown-rule]").dataset;
      const { record: now, by } = this.page;
      const made = [Number(shownRule), JSON.parse(at), told];
      this.page.write(record.pass(now, this.step.id, ...made, by, this.page.now()));
    }

    /** Fill the whole step from the record. */
    fill() {
      for (const grid of this.grids) grid.fill();
      for (const input of this.root.querySelectorAll("[data-look] input")) this.fillLook(input);
    }

    /** Show whether the step is marked done, and by whom. */
    showTick() {
      const ticked = this.page.record.ticks.find((one) => one.step === this.step.id);
      this.tick.checked = Boolean(ticked);
      say(this.doneBy, ticked ? `${ticked.by}, ${this.page.day(ticked.when)}` : "");
    }

    fillLook(input) {
      const name = input.closest("[data-look]").dataset.look;
      const at = JSON.stringify(this.lookAt(name, input));
      const mine = this.page.record.looks.filter((one) => one.step === this.step.id && one.name === name);
      const answer = mine.find((one) => JSON.stringify(one.at) === at);
      input.checked = Boolean(answer) && answer.seen === input.value;
    }

    /** Show what the judge said of this step. */
    show(found) {
      const { record: now } = this.page;
      const seen = [
        found, now.ticks, now.looks, now.corrections, now.passes, now.skipped, now.notes, now.photos,
        this.page.sized, this.page.again,
      ];
      if (this.seen && seen.every((one, index) => one === this.seen[index])) return;
      this.seen = seen;
      const { judgements, corrections } = found;
      const of = (name) => judgements.filter((one) => one.name === name);
      for (const grid of this.grids) grid.show(of(grid.of.name));
      for (const result of this.results) result.show(of(result.out.name));
      this.showTick();
      this.showOuts(judgements, corrections);
      this.showMissing(judgements);
      this.more.show();
    }

    /** What is still open in a step, beside its tick. */
    showMissing(judgements) {
      const { record: now } = this.page;
      const blanks = this.grids.flatMap((grid) => grid.blanks);
      const asked = blanks.filter((blank) => !record.skipAt(now, blank));
      const readings = new Set(asked.map((blank) => blank.key));
      const count = (test) => judgements.filter(test).length;
      const answers = now.looks.filter((one) => one.step === this.step.id);
      const answered = new Set(answers.map(record.keyOf));
      const silent = this.lookPlaces().filter((one) => !answered.has(record.keyOf(one)) && !record.skipAt(now, one));
      const parts = [
        [count((one) => readings.has(one.key) && one.verdict === "not read"), "not read"],
        [count((one) => one.verdict === "out"), "out"],
        [count((one) => one.flags.includes("suspect")), "suspect"],
        [silent.length, "not looked at"],
        [answers.filter((one) => one.seen === "no").length, "seen wrong"],
      ].filter(([number]) => number > 0).map(([number, word]) => `${number} ${word}`);
      this.missing.hidden = !parts.length;
      say(this.missing, parts.length ? `Still open here: ${parts.join(", ")}.` : "");
    }

    /** What to do about values that are out, with the amount and the number of passes. */
    showOuts(judgements, corrections) {
      if (!this.outs) return;
      const told = corrections.map((one) => [one.at, one.rule, this.amountWords(one), this.found(one, judgements)]);
      const said = JSON.stringify([told, this.page.record.passes.length]);
      if (this.outs.dataset.shown === said) return;
      this.outs.dataset.shown = said;
      this.outs.replaceChildren(...corrections.map((one) => this.outBox(one, judgements)));
    }

    amountWords(one) {
      if (one.amount === null) return "";
      const unit = one.unit || "in";
      return this.page.figures.both(one.amount, unit, DECIMALS[unit] ?? 2);
    }

    /** One box of what to do. */
    outBox(one, judgements) {
      const rule = this.step.ifOut[one.rule];
      const form = this.root.querySelector(`template[data-rule="${one.rule}"]`);
      const box = form.content.firstElementChild.cloneNode(true);
      const amount = this.amountWords(one);
      box.dataset.shownRule = one.rule;
      box.dataset.told = amount.replace(/ \(.*/u, "");
      box.dataset.at = JSON.stringify(one.at);
      say(box.querySelector("[data-where]"), position(one.at));
      say(box.querySelector("[data-found]"), this.found(one, judgements));
      for (const place of box.querySelectorAll("[data-amount]")) say(place, amount || NO_AMOUNT);
      say(box.querySelector("[data-unsound]"), rule.amount && !amount ? UNSOUND : "");
      if (rule.atMost !== null) this.countPasses(box, one, rule.atMost);
      return box;
    }

    /** Which pass this is, or that all are used. */
    countPasses(box, { rule, at }, most) {
      const made = record.passesOf(this.page.record, this.step.id, rule, at).length;
      const used = made >= most;
      const all = most === 1 ? "The one pass is used" : `All ${most} passes are used`;
      say(box.querySelector("[data-passes]"),
        used ? `${all}: the foreman decides.` : `Pass ${made + 1} of at most ${most}.`);
      if (used) box.querySelector("[data-pass]").remove();
    }

    /** The values that are out at a place, in words. */
    found(one, judgements) {
      const here = JSON.stringify(one.at);
      const outs = judgements.filter((each) => each.verdict === "out" && JSON.stringify(each.at) === here);
      return outs.filter((each) => each.value !== null).map((each) => this.outWords(each)).join("; ");
    }

    /** A value that is out beside its limit: `most clearance 0.0036 in, limit 0.0015 to 0.0025 in`. */
    outWords(one) {
      const { figures } = this.page;
      const named = (each) => each.name === one.name;
      const { decimals } = this.step.workOuts.find(named) || this.step.grids.find(named);
      const name = [one.end, one.name.replaceAll("_", " ")].filter(Boolean).join(" ");
      const limit = figures.band(one.by, one.unit, decimals);
      return `${name} ${figures.value(one.value, one.unit, decimals)}, limit ${limit}`;
    }

    /** Lock or open everything in the step. */
    lock(why) {
      const fresh = `${why}\u0000${this.outs ? this.outs.dataset.shown : ""}`;
      if (this.locked === fresh) return;
      this.locked = fresh;
      const line = this.root.querySelector("[data-locked]");
      line.hidden = !why;
      say(line, why);
      this.root.classList.toggle("gl-is-locked", Boolean(why));
      for (const field of this.root.querySelectorAll("input, select, button")) field.disabled = Boolean(why);
    }
  }

  Gaugeleaf.StepPart = StepPart;
})();
