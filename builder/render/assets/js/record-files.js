/** Records and jobs as files: saved from the page, opened again, and what to ask before one replaces another. */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { element, quoted } = Gaugeleaf.view;
  const record = Gaugeleaf.record;

  /** Hand a text over as a file. */
  function download(name, text) {
    const file = new Blob([text], { type: "application/json" });
    const link = element("a", { download: name, href: URL.createObjectURL(file) });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  }

  class RecordFiles {
    constructor(page) {
      this.page = page;
      this.choices = document.getElementById("gl-choose");
      document.getElementById("gl-save").addEventListener("click", () => this.save());
      document.getElementById("gl-save-job").addEventListener("click", () => this.saveJob());
      document.getElementById("gl-open").addEventListener("change", (event) => this.open(event.target));
    }

    save() {
      if (!this.page.job.number) return this.page.tell("There is no record yet: fill in the job number first.");
      return download(record.fileName(this.page.record), record.toText(this.page.record));
    }

    saveJob() {
      if (!this.page.job.number) return this.page.tell("There is no job yet: fill in its number first.");
      return download("job.yaml", Gaugeleaf.job.toText(this.page.job));
    }

    /** A file was chosen. */
    async open(field) {
      const [file] = field.files;
      field.value = "";
      if (!file) return;
      try {
        this.read(file.name, await file.text());
      } catch (error) {
        this.page.tell(`${file.name} could not be read: ${error.message}`);
      }
    }

    /** Read the text of a file: a record, or a job. */
    read(name, text) {
      const { record: found, fault } = record.fromText(text);
      if (found) return this.offer(found);
      const job = jobIn(text);
      if (job) return this.adoptJob(job);
      return this.page.tell(quoted(`${name} is no record: ${fault}. Nothing was changed.`));
    }

    /** Take a job over; its records stay as they are. */
    adoptJob(job) {
      if (job.engine !== this.page.program.engine) {
        return this.page.tell(`Job ${job.number} is of another engine family (${job.engine}). Nothing was changed.`);
      }
      this.page.store.keepJob(job);
      this.page.openJob(job.number, this.page.run);
      return this.page.tell(`Job ${job.number} is open.`);
    }

    /** Open a record, once it is clear that nothing is lost by it. */
    offer(found) {
      const { program, store } = this.page;
      if (found.engine !== program.engine || found.procedure !== program.procedure) return this.elsewhere(found);
      const here = store.record(found);
      if (!here || record.isEmpty(here) || JSON.stringify(here) === JSON.stringify(found)) return this.adopt(found);
      return this.ask(found, here);
    }

    /** A record of another checklist: say where it belongs. */
    elsewhere(found) {
      const name = `${found.procedure} for ${found.engine}`;
      if (document.documentElement.dataset.oneFile !== undefined) {
        return this.page.tell(`This record belongs to another checklist. Open it in the file of ${name}.`);
      }
      const way = `../${encodeURIComponent(found.engine)}/${encodeURIComponent(found.procedure)}.html`;
      const link = element("a", { href: way }, name);
      return this.page.tell("This record belongs to another checklist. Open it there: ", link);
    }

    /** Ask which record is to stand. */
    ask(found, here) {
      const words = `There is a record of job ${found.job} here already, with ${here.readings.length} readings; ` +
        `the file has ${found.readings.length}. Which one is to stand?`;
      const button = (text, act) => {
        const made = element("button", { type: "button", class: "gl-button" }, text);
        made.addEventListener("click", () => {
          this.choices.replaceChildren();
          act();
        });
        return made;
      };
      const take = button("The file; put the other aside", () => {
        this.page.store.setAside(here, this.page.now());
        this.adopt(found);
      });
      const leave = button("What is here", () => this.page.tell("Nothing was changed."));
      this.choices.replaceChildren(element("p", { role: "alert" }, words), take, leave);
      this.choices.querySelector("button").focus();
    }

    /** Let a record stand. */
    adopt(found) {
      const { store } = this.page;
      if (!store.job(found.job)) {
        store.keepJob(Gaugeleaf.job.completed({ number: found.job, engine: found.engine }));
      }
      store.keepRecord(found);
      this.page.openJob(found.job, found.run);
      this.page.tell(`The record of job ${found.job} is open: ${found.readings.length} readings.${this.wanting()}`);
    }

    /** What a record alone does not bring. */
    wanting() {
      const people = Object.keys(this.page.job.people || {}).length;
      const unknown = " Its sizes, gauges and people are not known here: open the job's file too, or fill them in.";
      return people ? "" : unknown;
    }
  }

  /** The job that a text holds, or null. */
  function jobIn(text) {
    try {
      const data = JSON.parse(text);
      return Gaugeleaf.job.jobFault(data) ? null : Gaugeleaf.job.completed(data);
    } catch {
      return null;
    }
  }

  Gaugeleaf.RecordFiles = RecordFiles;
})();
