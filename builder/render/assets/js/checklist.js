/**
 * A checklist page: the job and its record, the judge, and the steps that show what it says. Every entry is kept in
 * the browser the moment it is made. Starts by itself once the page's data are there.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { element, say, quoted, Figures } = Gaugeleaf.view;
  const { Bench } = Gaugeleaf.judging;
  const { Store } = Gaugeleaf.store;
  const record = Gaugeleaf.record;
  const PROVED_BY = ["builder", "second", "foreman"];

  const byId = (id) => document.getElementById(id);
  const two = (number) => String(number).padStart(2, "0");

  /** A moment as the record writes it: the shop's own day and hour, with the offset from UTC. */
  function stamp(moment) {
    const day = `${moment.getFullYear()}-${two(moment.getMonth() + 1)}-${two(moment.getDate())}`;
    const time = `${two(moment.getHours())}:${two(moment.getMinutes())}:${two(moment.getSeconds())}`;
    const offset = -moment.getTimezoneOffset();
    const away = Math.abs(offset);
    const zone = offset === 0 ? "Z" : `${offset < 0 ? "-" : "+"}${two(Math.floor(away / 60))}:${two(away % 60)}`;
    return `${day}T${time}${zone}`;
  }

  /** On a phone the grids are laid out as cards; to whoever listens they stay tables. */
  function giveRoles() {
    const roles = { TABLE: "table", THEAD: "rowgroup", TBODY: "rowgroup", TR: "row", TD: "cell" };
    for (const table of document.querySelectorAll(".gl-stack table")) {
      const parts = [table, ...table.querySelectorAll("thead, tbody, tr, td")];
      for (const part of parts) part.setAttribute("role", roles[part.tagName]);
      for (const head of table.querySelectorAll("th")) {
        head.setAttribute("role", head.scope === "col" ? "columnheader" : "rowheader");
      }
    }
  }

  class ChecklistPage {
    constructor(shared, program, kept) {
      this.program = program;
      this.bench = new Bench(shared, program);
      this.figures = new Figures(shared, this.bench.reader);
      this.message = byId("gl-message");
      this.saved = document.querySelector("[data-saved]");
      this.counted = document.querySelector("[data-count]");
      this.store = new Store(kept, (trouble) => this.tell(trouble));
      this.block = new Gaugeleaf.job.JobBlock(program.engine, (name) => this.onJob(name));
      this.steps = program.steps.map((step) => new Gaugeleaf.StepPart(this, step));
      this.holds = this.makeHolds();
      this.files = new Gaugeleaf.RecordFiles(this);
      giveRoles();
      this.listen();
      const last = this.store.last();
      const known = last.job && this.store.job(last.job);
      const mine = known && known.engine === program.engine;
      this.openJob(mine ? last.job : "", mine ? last.run : "final");
      byId("gl-job").open = Boolean(this.wanting);
      Gaugeleaf.notices.otherPaper(this);
    }

    /** The hold bars in the order of the page, each with the step after which it stands. */
    makeHolds() {
      const bar = (hold, steps, isNeeded) => new Gaugeleaf.HoldBar(this, hold, steps, isNeeded);
      const needed = this.program.needs.map((hold) => ({ after: -1, bar: bar(hold, new Set(), true) }));
      const steps = new Set();
      const inside = this.program.steps.flatMap((step, after) => {
        steps.add(step.id);
        return step.hold ? [{ after, bar: bar(step.hold, new Set(steps), false) }] : [];
      });
      return [...needed, ...inside];
    }

    listen() {
      byId("gl-stage").addEventListener("change", () => this.onStage());
      byId("gl-by").addEventListener("change", () => this.onBy());
      byId("gl-notes").addEventListener("change", (event) => {
        this.write(record.note(this.record, event.target.value, this.by, this.now()));
      });
      byId("gl-set").addEventListener("change", () => this.onSet());
      document.addEventListener("visibilitychange", () => {
        this.others = null;
        this.show();
      });
      globalThis.addEventListener("storage", (event) => {
        this.others = null;
        if (this.job.number && event.key === this.store.keyOf(this.record)) this.openJob(this.job.number, this.run);
      });
    }

    // What the parts ask for

    now() {
      return stamp(new Date());
    }

    /** A moment in words, short. */
    day(when) {
      return when.slice(0, 16).replace("T", " ");
    }

    get stage() {
      return byId("gl-stage").value;
    }

    get by() {
      return byId("gl-by").value;
    }

    get run() {
      return this.block.run;
    }

    /** Tell something where nobody can miss it, beside what was told before and not put away. */
    tell(...words) {
      const line = element("div", { class: "gl-told" }, ...words.map((word) => (typeof word === "string" ? quoted(word) : word)));
      const told = [...this.message.querySelectorAll(".gl-told")];
      if (this.message.hidden) this.message.replaceChildren(line, this.putAway());
      else if (told.every((one) => one.textContent !== line.textContent)) told[told.length - 1].after(line);
      this.message.hidden = false;
    }

    /** The button that puts the message away. */
    putAway() {
      const button = element("button", { type: "button", class: "gl-button" }, "Understood");
      button.addEventListener("click", () => {
        this.message.hidden = true;
      });
      return button;
    }

    /** Say the verdict of a reading to whoever listens to the page instead of looking at it. */
    announce(words) {
      say(byId("gl-announced"), words);
    }

    /** Keep a changed record and show what it comes to. */
    write(fresh) {
      this.record = fresh;
      const kept = this.store.keepRecord(fresh);
      const words = kept ? `Kept in this browser, ${this.day(this.now())}.` : "Not kept in this browser.";
      say(this.saved, words);
      this.show();
    }

    /** The other records of this job in this browser, as they were when the job was opened or last looked at. */
    otherRecords() {
      if (!this.others) {
        const mine = this.store.keyOf(this.record);
        this.others = this.store.recordsOf(this.job.number).filter((one) => this.store.keyOf(one) !== mine);
      }
      return this.others;
    }

    /** Whether a pass that leads back over a place was made there at or after a time. */
    workedSince(place, when) {
      const number = (id) => this.program.steps.findIndex((one) => one.id === id);
      const elsewhere = ([side, label]) => side in place.at && place.at[side] !== label;
      return this.record.passes.some((pass) => {
        const rule = (this.program.steps[number(pass.step)] || { ifOut: [] }).ifOut[pass.rule];
        const from = rule ? number(rule.then) : -1;
        const inside = from >= 0 && from <= number(place.step) && number(place.step) <= number(pass.step);
        const here = inside && !Object.entries(pass.at).some(elsewhere);
        return here && Date.parse(pass.when) >= Date.parse(when);
      });
    }

    /** Since when the second set of readings is being taken; empty while it is the first. */
    get again() {
      return this.job.shop_of_one && byId("gl-set").value === "second" ? this.desk.again || "" : "";
    }

    /** Whether a reading belongs to the set that is being taken. */
    inThisSet(reading) {
      return !this.again || Date.parse(reading.when) >= Date.parse(this.again);
    }

    /** Whether whoever writes is more than an apprentice. */
    isProved() {
      const roles = ((this.job.people || {})[this.by] || {}).role || [];
      return roles.some((role) => PROVED_BY.includes(role));
    }

    /** Why whoever writes may not tick a step; empty when they may. */
    tickRefusal(step) {
      if (!(step.irreversible || step.hold) || this.isProved()) return "";
      return `${this.by} is an apprentice here. A builder ticks a step that cannot be undone or that ends at a hold.`;
    }

    /** Remember where the work is. */
    at(step) {
      this.desk.step = step;
      this.keepDesk();
    }

    keepDesk() {
      if (this.job.number) this.store.keepDesk(this.record, this.desk);
    }

    /** Go on from the last box of a grid. */
    leave(grid, by) {
      const boxes = [...document.querySelectorAll(".gl-reading:not(:disabled)")];
      const last = grid.inputs[by > 0 ? grid.inputs.length - 1 : 0];
      const next = boxes[boxes.indexOf(last) + by];
      const same = next && next.closest("[data-step]") === last.closest("[data-step]");
      (same || by < 0 ? next || last : last.closest("[data-step]").querySelector("[data-tick]")).focus();
    }

    // The job

    /** Open a job and the record of one run. */
    openJob(number, run) {
      this.job = (number && this.store.job(number)) || { engine: this.program.engine };
      this.load(number, run);
      this.block.show(this.job, run, this.record.room);
      this.settle();
    }

    /** Take up the record and the desk of a job's run. */
    load(number, run) {
      const { engine, procedure, edition, said } = this.program;
      const names = { job: number, engine, procedure, edition, said, run };
      this.record = (number && this.store.record(names)) || record.blank(names);
      this.desk = number ? this.store.desk(names) : {};
      byId("gl-stage").value = this.desk.stage || "final";
      byId("gl-set").value = this.desk.again ? this.desk.set || "first" : "first";
      byId("gl-notes").value = (record.sheetNote(this.record) || { text: "" }).text;
    }

    /** Something in the job block was changed. */
    onJob(name) {
      const typed = this.block.job();
      if (name === "number") return this.onNumber(typed);
      if (!typed.number) return this.settle();
      this.job = typed;
      this.store.keepJob(typed);
      if (name === "run") this.load(typed.number, this.run);
      if (name === "run") this.block.field("room").value = this.record.room;
      if (this.block.room !== this.record.room) this.write({ ...this.record, room: this.block.room });
      return this.settle();
    }

    /** Another number was filled in: a job known here is opened, a new one begins with people and gauges alike. */
    onNumber(typed) {
      if (!typed.number) return this.openJob("", "final");
      const known = this.store.job(typed.number);
      if (known) return this.openJob(typed.number, this.run);
      const first = !this.job.number;
      const { number, engine, people, gauges } = typed;
      this.store.keepJob(first ? typed : { number, engine, basis: "rebuilt", people, gauges, sizes: {} });
      return this.openJob(typed.number, this.run);
    }

    /** After any change of the job: people, gauges, sizes, then everything that hangs on them. */
    settle() {
      this.others = null;
      const people = this.job.people || {};
      this.offerWriters(people);
      for (const { bar } of this.holds) bar.offer(people);
      for (const step of this.steps) for (const grid of step.grids) grid.offer(this.job.gauges || {});
      document.querySelector("[data-set-field]").hidden = !this.job.shop_of_one;
      byId("gl-jobs").replaceChildren(...this.store.jobs().map((number) => new Option(number, number)));
      if (this.job.number) this.store.keepLast({ job: this.job.number, run: this.run });
      this.wanting = this.block.wanting();
      Gaugeleaf.notices.unreadSheets(this);
      Gaugeleaf.notices.otherEdition(this);
      this.fill();
      this.show();
      this.headline();
    }

    offerWriters(people) {
      const names = Object.keys(people);
      const chosen = this.desk.by;
      const builder = names.find((name) => people[name].role.includes("builder"));
      byId("gl-by").replaceChildren(...names.map((name) => new Option(name, name)));
      byId("gl-by").value = names.includes(chosen) ? chosen : builder || names[0] || "";
    }

    onStage() {
      this.desk.stage = this.stage;
      this.keepDesk();
      this.fill();
      this.show();
    }

    /** The second set of a shop of one: the boxes are empty again, so that nobody reads what he wants to read. */
    onSet() {
      this.desk.set = byId("gl-set").value;
      this.desk.again = this.desk.again || this.now();
      this.keepDesk();
      this.fill();
      this.show();
    }

    onBy() {
      this.desk.by = this.by;
      this.keepDesk();
    }

    // What is shown

    fill() {
      for (const step of this.steps) step.fill();
    }

    /** Judge, and show verdicts, holds, locks and counts. */
    show() {
      const job = this.job.number ? this.job : null;
      const { judgements, steps } = this.bench.judge(this.record, job, this.stage);
      if (this.sized !== `${this.bench.sized}${this.job.basis}${this.stage}`) this.resize();
      for (const part of this.steps) if (steps.has(part.step.id)) part.show(steps.get(part.step.id));
      this.lock();
      this.count(judgements);
    }

    /** The sizes of the job have changed: heads and leading digits with them. */
    resize() {
      this.sized = `${this.bench.sized}${this.job.basis}${this.stage}`;
      for (const step of this.steps) for (const grid of step.grids) grid.size();
      for (const line of document.querySelectorAll("[data-limit]")) this.moveLimit(line);
    }

    /** A limit as this job has it, where a size step moves it. */
    moveLimit(line) {
      const row = this.program.rows[line.dataset.limit];
      const moved = line.querySelector("[data-moved]");
      const band = row && this.bench.limitsOf(line.dataset.limit, []).inForce;
      const is = Boolean(band) && band.moved.n !== 0n;
      moved.hidden = !is;
      line.classList.toggle("gl-is-moved", is);
      if (!is) return;
      const sizes = this.job.sizes || {};
      const steps = Object.keys(row.moves).filter((step) => sizes[step]);
      const why = steps.map((step) => `${step.replaceAll("_", " ")} ${sizes[step]}`).join(", ");
      const partner = this.figures.partnerBand(band, row.unit, row.partnerDecimals);
      moved.replaceChildren(
        element("span", { class: "gl-limit" }, this.figures.band(band, row.unit, row.decimals)),
        ` ${partner} `, element("strong", {}, `this job, ${why}`));
    }

    /** Lock what stands behind an open hold, or everything while the job is not filled in. */
    lock() {
      const { wanting } = this;
      for (const hold of this.holds) hold.open = hold.bar.open();
      const first = this.holds.find(({ open }) => open);
      for (const { after, bar, open } of this.holds) bar.show(open, wanting || (first && after > first.after));
      const shut = first ? `Locked until ${first.bar.hold.code} is signed.` : "";
      this.steps.forEach((part, index) => part.lock(wanting || (first && index > first.after ? shut : "")));
      for (const part of this.steps) part.root.hidden = Boolean(part.step.run && part.step.run !== this.record.run);
    }

    /** How far the sheet is, and where the work was left. */
    count(judgements) {
      const done = new Set([...this.record.ticks.map((one) => one.step), ...record.skippedSteps(this.record)]);
      const isAsked = (blank) => !record.skipAt(this.record, blank);
      const boxes = this.bench.active.reduce((sum, grid) => sum + grid.blanks.filter(isAsked).length, 0);
      const read = this.bench.active.flatMap((grid) => grid.taken).filter((one) => one.value).length;
      const of = (test) => judgements.filter(test).length;
      const open = this.holds.filter((hold) => hold.open).length;
      const counted = [
        [of((one) => one.verdict === "out"), "out"], [of((one) => one.flags.includes("suspect")), "suspect"],
        [open, open === 1 ? "open hold" : "open holds"],
      ].filter(([number]) => number).map((part) => part.join(" "));
      const far = [`${done.size} of ${this.bench.asked.length} steps`, boxes ? `${read} of ${boxes} readings` : ""];
      say(this.counted, [...far, ...counted].filter(Boolean).join(" · "));
      this.whereWasI(done);
    }

    /** The way back to the last step that was worked on, else to the first that is not done. */
    whereWasI(done) {
      const last = this.program.steps.find((step) => step.id === this.desk.step);
      const next = this.program.steps.find((step) => !done.has(step.id)) || this.program.steps[0];
      const step = last || next;
      byId("gl-where").href = `#step-${step.id}`;
      say(byId("gl-where"), last ? `Where I was: ${step.number}` : `Begin at ${step.number}`);
    }

    /** The job in one line, when its block is closed. */
    headline() {
      const { number, basis, sizes = {} } = this.job;
      const ground = Object.entries(sizes).map(([step, size]) => `${step.replaceAll("_", " ")} ${size}`);
      const parts = [`Job ${number}`, basis, this.run.replace("_", "-"), ...ground, this.record.room];
      say(document.querySelector("[data-job-said]"), this.wanting || parts.filter(Boolean).join(" · "));
    }
  }

  Gaugeleaf.whenOpened((kept) => {
    Gaugeleaf.page = new ChecklistPage(Gaugeleaf.shared, Gaugeleaf.program, kept);
  });
})();
