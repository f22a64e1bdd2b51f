/**
 * The block at the head of a checklist that says which job this is: number, sizes, people, gauges. What stands in
 * it is the job as `job.yaml` holds it; the run and the room belong to the record.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;

  /** A copy of a template's first element. */
  function copyOf(id) {
    return document.getElementById(id).content.firstElementChild.cloneNode(true);
  }

  class JobBlock {
    /** @param {string} engine the family @param {() => void} changed called after any change */
    constructor(engine, changed) {
      this.engine = engine;
      this.form = document.getElementById("gl-job-form");
      this.people = document.getElementById("gl-people");
      this.gauges = document.getElementById("gl-gauge-rows");
      this.rest = {};
      this.form.addEventListener("submit", (event) => event.preventDefault());
      this.form.addEventListener("change", (event) => this.onChange(event, changed));
      document.getElementById("gl-add-person").addEventListener("click", () => this.addPerson("", []).focus());
      document.getElementById("gl-add-gauge").addEventListener("click", () => this.addGauge("", {}).focus());
    }

    /** Keep one empty row at the end of each list, then tell. */
    onChange(event, changed) {
      this.spare();
      changed(event.target.name || "");
    }

    /** A field of the form by its name. */
    field(name) {
      return this.form.elements.namedItem(name);
    }

    /** The selects of the size steps. */
    sizeFields() {
      return [...this.form.querySelectorAll("[data-size]")];
    }

    /** Show a job, a run and the room. */
    show(job, run, room) {
      this.rest = job;
      this.field("number").value = job.number || "";
      this.field("engine_number").value = job.engine_number || "";
      this.field("basis").value = job.basis || "rebuilt";
      this.field("shop_of_one").checked = [true, "true"].includes(job.shop_of_one);
      this.field("run").value = run;
      this.field("room").value = room;
      for (const select of this.sizeFields()) chooseSize(select, (job.sizes || {})[select.dataset.size] || "");
      this.people.replaceChildren();
      this.gauges.replaceChildren();
      for (const [initials, person] of Object.entries(job.people || {})) this.addPerson(initials, person.role);
      for (const [number, gauge] of Object.entries(job.gauges || {})) this.addGauge(number, gauge);
      this.spare();
    }

    /** One empty row at the end of each list. */
    spare() {
      const people = [...this.people.querySelectorAll("[data-initials]")];
      if (people.every((input) => input.value.trim())) this.addPerson("", people.length ? [] : ["builder"]);
      const gauges = [...this.gauges.querySelectorAll("[data-number]")];
      if (gauges.every((input) => input.value.trim())) this.addGauge("", {});
      this.showWanting();
    }

    /** Say under a row what it still wants before it counts. */
    showWanting() {
      for (const row of this.people.querySelectorAll("[data-person]")) {
        const named = row.querySelector("[data-initials]").value.trim();
        row.querySelector("[data-wanting]").hidden = !named || Boolean(row.querySelector("input:checked"));
      }
      for (const row of this.gauges.querySelectorAll("[data-gauge-row]")) {
        const named = row.querySelector("[data-number]").value.trim();
        row.querySelector("[data-wanting]").hidden = !named || Boolean(row.querySelector("[data-due]").value);
      }
    }

    /** A row for a person; gives the field of the initials. */
    addPerson(initials, roles) {
      const row = copyOf("gl-person");
      const input = row.querySelector("[data-initials]");
      input.value = initials;
      for (const box of row.querySelectorAll("input[type=checkbox]")) box.checked = roles.includes(box.value);
      this.people.append(row);
      return input;
    }

    /** A row for a gauge; gives the field of its number. */
    addGauge(number, gauge) {
      const row = copyOf("gl-gauge");
      const input = row.querySelector("[data-number]");
      input.value = number;
      if (gauge.instrument) row.querySelector("[data-instrument]").value = gauge.instrument;
      row.querySelector("[data-due]").value = gauge.due || "";
      row.querySelector("[data-set-to]").value = gauge.set_to || "";
      this.gauges.append(row);
      return input;
    }

    /** The run chosen. */
    get run() {
      return this.field("run").value;
    }

    /** The room's temperature as typed. */
    get room() {
      return this.field("room").value.trim();
    }

    /** The job as it stands in the form; what this page does not show of it is kept. */
    job() {
      const engineNumber = this.field("engine_number").value.trim();
      const job = { ...this.rest, number: this.field("number").value.trim(), engine: this.engine };
      delete job.engine_number;
      if (engineNumber) job.engine_number = engineNumber;
      delete job.shop_of_one;
      if (this.field("shop_of_one").checked) job.shop_of_one = true;
      const basis = this.field("basis").value;
      return { ...job, basis, people: this.readPeople(), sizes: this.readSizes(), gauges: this.readGauges() };
    }

    readSizes() {
      const sizes = { ...(this.rest.sizes || {}) };
      for (const select of this.sizeFields()) {
        if (select.value) sizes[select.dataset.size] = select.value;
        else delete sizes[select.dataset.size];
      }
      return sizes;
    }

    readPeople() {
      const people = {};
      for (const row of this.people.querySelectorAll("[data-person]")) {
        const initials = row.querySelector("[data-initials]").value.trim();
        const role = [...row.querySelectorAll("input[type=checkbox]:checked")].map((box) => box.value);
        const named = ((this.rest.people || {})[initials] || {}).name;
        if (initials && role.length) people[initials] = named ? { role, name: named } : { role };
      }
      return people;
    }

    /** Gauges with a number and a date; one without a date is not known to be in date and is left out. */
    readGauges() {
      const gauges = {};
      for (const row of this.gauges.querySelectorAll("[data-gauge-row]")) {
        const number = row.querySelector("[data-number]").value.trim();
        const due = row.querySelector("[data-due]").value;
        const setTo = row.querySelector("[data-set-to]").value.trim();
        const instrument = row.querySelector("[data-instrument]").value;
        if (number && due) gauges[number] = setTo ? { instrument, due, set_to: setTo } : { instrument, due };
      }
      return gauges;
    }

    /** What is still wanted before anything may be filled in, in words; empty when nothing is. */
    wanting() {
      const job = this.job();
      if (!job.number) return "Fill in the job number first.";
      if (!Object.keys(job.people).length) return "Fill in first who works on this job.";
      return "";
    }
  }

  /** Choose a size; one that the list does not offer is added to it. */
  function chooseSize(select, size) {
    if (size && ![...select.options].some((option) => option.value === size)) select.add(new Option(size, size));
    select.value = size;
  }

  /** A job as the text of its file: JSON, which `job.yaml` may hold as well. */
  function toText(job) {
    return `${JSON.stringify(job, null, 2)}\n`;
  }

  /** What is wrong with plain data that should be a job, in words; empty when nothing is. */
  function jobFault(data) {
    const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
    if (!isObject(data) || typeof data.number !== "string" || !data.number.trim()) return "it has no job number";
    if (typeof data.engine !== "string") return "it names no engine family";
    const wrong = ["people", "sizes", "gauges"].find((key) => data[key] !== undefined && !isObject(data[key]));
    return wrong ? `its \`${wrong}\` are not as they should be` : "";
  }

  /** A job whose roles are lists, as the page works with them. */
  function completed(data) {
    const people = Object.entries(data.people || {}).map(([initials, person]) => {
      const role = Array.isArray(person.role) ? person.role : [person.role].filter(Boolean);
      return [initials, { ...person, role }];
    });
    return { basis: "rebuilt", sizes: {}, gauges: {}, ...data, people: Object.fromEntries(people) };
  }

  Gaugeleaf.job = Object.freeze({ JobBlock, toText, jobFault, completed });
})();
