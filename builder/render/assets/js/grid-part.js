/**
 * The boxes of one measurement on a checklist: what is typed, how it is kept, how the keys move, and the verdict
 * under each box.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { element, say, quoted } = Gaugeleaf.view;
  const { position } = Gaugeleaf.taken;
  const record = Gaugeleaf.record;
  const WHY = [
    ["slip of the pen", "slip of the pen"], ["read again", "read again"], ["worked", "the part was worked on"],
  ];

  /** What every box for a reading is told: digits first, no corrections of the machine's own. */
  const BOX = Object.entries({
    inputmode: "decimal", autocomplete: "off", autocapitalize: "off", spellcheck: "false", enterkeyhint: "next",
  });

  /** The words under a box: the verdict with its flags, nothing for a reading that is only recorded. */
  function cellWords(one) {
    const flags = one.flags.filter((flag) => flag !== "off aim");
    if (one.verdict === "not read") return "";
    if (one.verdict === "no limit") return flags.join(", ");
    return [one.verdict, ...flags].join(", ");
  }

  /** Reasons with the places that they hold for, each reason once. */
  function showReasons(list, judgements) {
    const places = new Map();
    for (const one of judgements.filter((each) => each.flags.includes("suspect") || each.hint)) {
      for (const reason of one.reasons) places.set(reason, (places.get(reason) || new Set()).add(position(one.at)));
    }
    const lines = [...places].map(([reason, found]) => {
      const where = [...found];
      const many = where.length > 2 ? `${where.length} places` : where.filter(Boolean).join("; ");
      return quoted(many && !reason.includes(where[0]) ? `${many}: ${reason}.` : `${reason}.`);
    });
    const said = lines.join("\n");
    if (list.dataset.said === said) return;
    list.dataset.said = said;
    list.hidden = !lines.length;
    list.replaceChildren(...lines.map((line) => element("li", {}, line)));
  }

  /** The boxes of one measurement. */
  class GridPart {
    constructor(page, root, of, laid) {
      Object.assign(this, { page, root, of, blanks: laid.blanks });
      this.inputs = [...root.querySelectorAll("[data-blank]")];
      for (const input of this.inputs) for (const [name, value] of BOX) input.setAttribute(name, value);
      this.byKey = new Map(this.blanks.map((blank, index) => [blank.key, index]));
      this.gauge = root.querySelector("[data-gauge]");
      this.setting = root.querySelector("[data-setting]");
      this.said = new Map();
      this.judgements = [];
      this.reasons = element("ul", { class: "gl-reasons", hidden: "" });
      root.querySelector("[data-changes]").before(this.reasons);
      root.addEventListener("focusin", (event) => this.begin(event.target));
      root.addEventListener("input", (event) => this.onInput(event.target));
      root.addEventListener("change", (event) => this.onChange(event.target));
      root.addEventListener("keydown", (event) => this.onKey(event));
      root.querySelector("[data-changes]").addEventListener("click", (event) => this.onReason(event.target));
    }

    /** Where a box stands in the record. */
    place(index) {
      const { stage } = this.page;
      if (this.stage !== stage) {
        this.stage = stage;
        this.places = this.blanks.map(({ step, name, at }) => ({ step, name, at, stage }));
      }
      return this.places[index];
    }

    /** The reading that stands in a box: of the second set that is being taken, else the latest of all. */
    stands(index) {
      const stood = record.standing(this.page.record, this.place(index));
      return stood && this.page.inThisSet(stood) ? stood : undefined;
    }

    /** The record with a reading in a box in which none stands yet in this set. */
    entered(index, entry) {
      const { record: now } = this.page;
      const place = this.place(index);
      const again = record.standing(now, place) && !this.stands(index);
      return again ? record.measureAgain(now, place, entry) : record.enter(now, place, entry);
    }

    /** The number of a box, or -1. */
    indexOf(target) {
      return target.dataset && target.dataset.blank !== undefined ? this.inputs.indexOf(target) : -1;
    }

    /** What is written beside every reading: the box's unit, the gauge, its setting, who, when. */
    entry(typed, index) {
      const unit = this.blanks[index].unit || this.of.unit;
      const setting = this.setting.value.trim();
      return { typed, unit, gauge: this.gauge.value, setting, by: this.page.by, when: this.page.now() };
    }

    /** A box is entered: what stands in it is remembered, so that leaving it unchanged changes nothing. */
    begin(target) {
      const index = this.indexOf(target);
      if (index < 0) return;
      const stood = this.stands(index);
      const open = !stood || Boolean(this.page.bench.taker.read(stood, this.blanks[index].unit).refused);
      this.session = { index, stood, open };
      this.page.at(this.of.step, this);
    }

    /** While digits are typed: a whole reading is written and judged at once, a change of one waits for its end. */
    onInput(target) {
      const index = this.indexOf(target);
      if (index < 0 || !this.session || !this.session.open) return;
      const typed = target.value.trim();
      const whole = this.of.decimals > 0 && (typed.split(".")[1] || "").length >= this.of.decimals;
      if (whole) this.page.write(this.entered(index, this.entry(typed, index)));
    }

    /** A box is left, or a gauge chosen. */
    onChange(target) {
      const index = this.indexOf(target);
      if (index >= 0) this.finish(index, target.value.trim());
      else if (target === this.gauge || target === this.setting) this.onGauge();
    }

    /** Write what a box holds when it is left. */
    finish(index, typed) {
      const place = this.place(index);
      const session = this.session && this.session.index === index ? this.session : { open: true };
      const stands = this.stands(index);
      const before = session.open ? stands : session.stood;
      if (typed === (stands ? stands.typed : "") && session.open) return this.begin(this.inputs[index]);
      if (before && typed === before.typed) return this.restore(index);
      if (before && typed && this.refuse(index, typed)) return undefined;
      this.restore(index);
      this.page.write(this.written(place, typed, index, session));
      this.page.announce(`${position(this.blanks[index].at)}: ${this.inputs[index].nextElementSibling.textContent}`);
      return this.begin(this.inputs[index]);
    }

    /** What cannot be read never takes the place of a reading: say so beside the box, and whether it is so. */
    refuse(index, typed) {
      const { refused, hint } = this.page.bench.taker.read(this.entry(typed, index), this.blanks[index].unit);
      const input = this.inputs[index];
      if (!refused) return false;
      const stands = this.stands(index);
      input.setAttribute("aria-invalid", "true");
      say(input.nextElementSibling, quoted(`${refused}: ${hint}. ${stands.typed} still stands.`));
      this.page.announce(input.nextElementSibling.textContent);
      return true;
    }

    /** Let a box say again what the judge said of its reading. */
    restore(index) {
      const judged = this.judgements.find((one) => this.byKey.get(one.key) === index);
      if (judged) this.showCell(this.inputs[index], judged);
    }

    /** The record with a box's new content. */
    written(place, typed, index, session) {
      const { record: now, by } = this.page;
      const stands = this.stands(index);
      if (!typed && session.open) return stands ? record.discard(now, place) : now;
      if (!typed) return record.strike(now, place, "", by, this.page.now());
      const entry = this.entry(typed, index);
      if (session.open || !stands) return this.entered(index, entry);
      const worked = this.page.workedSince(place, stands.when);
      return worked ? record.measureAgain(now, place, entry) : record.correct(now, place, entry, "");
    }

    /** A gauge or its setting was chosen: remembered for this grid, and filled in where none was named yet. */
    onGauge() {
      const { record: now, stage } = this.page;
      this.page.desk.gauges = { ...this.page.desk.gauges, [this.of.key]: this.gauge.value };
      this.page.desk.settings = { ...this.page.desk.settings, [this.of.key]: this.setting.value.trim() };
      const here = (one) => one.step === this.of.step && one.name === this.of.name && one.stage === stage;
      const mine = (one) => here(one) && !one.gauge;
      const named = (one) => ({ ...one, gauge: this.gauge.value, setting: one.setting || this.setting.value.trim() });
      this.showSetting();
      if (!this.gauge.value || !now.readings.some(mine)) return this.page.keepDesk();
      return this.page.write({ ...now, readings: now.readings.map((one) => (mine(one) ? named(one) : one)) });
    }

    /** The field for a set size is there once a gauge is chosen; then signs and fractions must be typed as well. */
    showSetting() {
      this.root.querySelector("[data-setting-field]").hidden = !this.gauge.value;
      for (const input of this.inputs) input.inputMode = this.setting.value.trim() ? "text" : "decimal";
    }

    /** Enter goes to the next box as on paper, arrows to the neighbouring ones. */
    onKey(event) {
      const index = this.indexOf(event.target);
      if (index < 0 || event.altKey || event.ctrlKey || event.metaKey) return;
      const row = event.target.closest("tr");
      const across = row ? row.querySelectorAll("[data-blank]").length : 1;
      const caret = event.target.selectionStart;
      const atEnd = caret === event.target.value.length && event.target.selectionEnd === caret;
      const moves = {
        Enter: event.shiftKey ? -1 : 1, ArrowDown: across, ArrowUp: -across,
        ArrowRight: atEnd ? 1 : 0, ArrowLeft: caret === 0 && event.target.selectionEnd === 0 ? -1 : 0,
      };
      const by = moves[event.key] || 0;
      if (!by) return;
      event.preventDefault();
      const next = this.inputs[index + by];
      if (next) next.focus();
      else if (event.key === "Enter") this.page.leave(this, by);
      if (next) next.select();
    }

    /** A reason was given for a change. */
    onReason(target) {
      if (target.dataset.why === undefined) return;
      const place = this.place(Number(target.dataset.of));
      const { why } = target.dataset;
      const { record: now } = this.page;
      this.page.write(why === "worked" ? record.asNewTry(now, place) : record.explain(now, place, why));
    }

    /** Fill the boxes from the record. */
    fill() {
      this.inputs.forEach((input, index) => {
        const stands = this.stands(index);
        if (input !== document.activeElement) input.value = stands ? stands.typed : "";
      });
    }

    /** Offer the job's gauges, those of the right kind first. */
    offer(gauges) {
      const right = ([, gauge]) => gauge.instrument === this.of.tool;
      const every = Object.entries(gauges);
      const sorted = [...every.filter(right), ...every.filter((one) => !right(one))];
      const chosen = (this.page.desk.gauges || {})[this.of.key];
      const only = every.filter(right).length === 1 ? every.filter(right)[0][0] : "";
      this.gauge.replaceChildren(new Option("not said", ""), ...sorted.map(([number]) => new Option(number, number)));
      this.gauge.value = chosen !== undefined && (chosen === "" || Object.hasOwn(gauges, chosen)) ? chosen : only;
      this.setting.value = (this.page.desk.settings || {})[this.of.key] || "";
      this.showSetting();
    }

    /** Show the digits that a reading begins with, as the job's sizes have them. */
    size() {
      this.inputs.forEach((input, index) => {
        const { rowId, labels } = this.blanks[index];
        const row = this.page.program.rows[rowId];
        const band = row && this.page.bench.limitsOf(rowId, labels).inForce;
        input.placeholder = band ? this.page.figures.leading(band, row.unit, row.decimals) : "";
      });
    }

    /** Show the verdict of every reading. */
    show(judgements) {
      const { again, record: { skipped } } = this.page;
      const before = this.again === again && this.skipped === skipped ? this.judgements : [];
      Object.assign(this, { judgements, again, skipped });
      for (const [number, one] of judgements.entries()) {
        if (before[number] === one) continue;
        const index = this.byKey.get(one.key);
        const input = this.inputs[index];
        const state = this.stateOf(one, index);
        const said = `${state}|${one.verdict}|${one.flags}|${one.reasons}`;
        if (this.said.get(input) !== said) this.showCell(input, one, state);
        this.said.set(input, said);
      }
      showReasons(this.reasons, judgements.filter((one) => one.value !== null));
      this.showChanges();
    }

    /** What stands in a box instead of a verdict: not done, or still to be read in the second set. */
    stateOf(one, index) {
      if (one.value !== null) return this.stands(index) ? "" : "read once";
      return one.reasons.length === 0 && record.skipAt(this.page.record, this.blanks[index]) ? "not done" : "";
    }

    /** Show the verdict of one reading, why it is refused, or what stands there instead. */
    showCell(input, one, state = "") {
      if (state) {
        input.dataset.verdict = "not-read";
        input.dataset.flag = "";
        input.setAttribute("aria-invalid", "false");
        return say(input.nextElementSibling, state);
      }
      const refused = one.verdict === "not read" && one.reasons.length > 0;
      const words = refused ? quoted([one.reasons[0], one.hint].filter(Boolean).join(": ")) : cellWords(one);
      input.dataset.verdict = one.verdict.replace(" ", "-");
      input.dataset.flag = one.flags.join(" ");
      input.setAttribute("aria-invalid", String(refused));
      return say(input.nextElementSibling, words);
    }

    /** Show what was changed: the old value struck through, and why, or the question why. */
    showChanges() {
      const list = this.root.querySelector("[data-changes]");
      if (list.hidden && record.isUnchanged(this.page.record)) return;
      const changes = this.blanks.flatMap((blank, index) =>
        record.history(this.page.record, this.place(index)).map((was) => ({ was, blank, index })));
      const said = JSON.stringify(changes.map(({ was, index }) => [was, index]));
      if (list.dataset.shown === said) return;
      list.dataset.shown = said;
      list.hidden = !changes.length;
      list.replaceChildren(...changes.map((change) => this.changeLine(change)));
    }

    /** One change in words. */
    changeLine({ was, blank, index }) {
      const where = position(blank.at) || this.of.name;
      const old = element(was.struck ? "s" : "span", { class: "gl-number" }, was.typed);
      const line = element("li", {}, `${where}: `, old, ` ${was.by}, ${was.why || "changed. Why?"} `);
      if (was.struck && !was.why) {
        const button = { type: "button", class: "gl-button", "data-of": index };
        line.append(...WHY.map(([why, words]) => element("button", { ...button, "data-why": why }, words)));
      }
      return line;
    }
  }

  Gaugeleaf.GridPart = GridPart;
  Gaugeleaf.showReasons = showReasons;
})();
