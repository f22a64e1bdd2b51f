/**
 * What the browser keeps: jobs, one record for each job, checklist and run, and where each desk was left. Two jobs
 * never share a key. Every failure to keep is told, none is swallowed.
 */
(function () {
  "use strict";

  const Gaugeleaf = (globalThis.Gaugeleaf = globalThis.Gaugeleaf || {});
  const PREFIX = "gaugeleaf/1";
  const KINDS = { job: "job", sheet: "sheet", desk: "desk", last: "last", kept: "kept" };

  /** A key made of names, each spelled so that no two names can run together. */
  function key(kind, ...names) {
    return [PREFIX, KINDS[kind], ...names.map(encodeURIComponent)].join("/");
  }

  /** The names of a record in its key. */
  function sheetNames(of) {
    return [of.job, of.engine, of.procedure, of.run];
  }

  /** The browser's storage behind words; what it refuses is remembered until the page closes. */
  class Store {
    /** @param {Storage|null} storage @param {(trouble: string) => void} tell */
    constructor(storage, tell) {
      this.storage = storage;
      this.tell = tell;
      this.memory = new Map();
    }

    /** Keep a value; tells and gives false where the browser does not keep it. */
    keep(name, value) {
      const text = JSON.stringify(value);
      try {
        if (!this.storage) throw new Error("no storage");
        this.storage.setItem(name, text);
        this.memory.delete(name);
        return true;
      } catch (error) {
        this.memory.set(name, text);
        this.tell(error && error.name === "QuotaExceededError" ? FULL : REFUSED);
        return false;
      }
    }

    /** The text kept under a name, or null. */
    text(name) {
      if (this.memory.has(name)) return this.memory.get(name);
      return this.storage ? this.storage.getItem(name) : null;
    }

    /** A kept value; null where there is none or it cannot be read. */
    kept(name) {
      try {
        const text = this.text(name);
        return text === null ? null : JSON.parse(text);
      } catch {
        this.tell(BROKEN);
        return null;
      }
    }

    /** The names of everything kept of a kind. */
    names(kind) {
      const start = `${key(kind)}/`;
      const found = [];
      for (let index = 0; this.storage && index < this.storage.length; index += 1) {
        const name = this.storage.key(index);
        if (name.startsWith(start)) found.push(name.slice(start.length).split("/").map(decodeURIComponent));
      }
      return found;
    }

    /** The numbers of the jobs kept here. */
    jobs() {
      return this.names("job").map(([number]) => number).sort();
    }

    job(number) {
      return this.kept(key("job", number));
    }

    keepJob(job) {
      return this.keep(key("job", job.number), job);
    }

    record(of) {
      const found = this.kept(key("sheet", ...sheetNames(of)));
      if (found === null) return null;
      const fault = Gaugeleaf.record.recordFault(found);
      if (fault) this.tell(`The record kept here cannot be read: ${fault}. It is left as it is; open its file.`);
      return fault ? null : found;
    }

    keepRecord(record) {
      return this.keep(key("sheet", ...sheetNames(record)), record);
    }

    /** Put a record aside before another takes its place, so that nothing is lost. */
    setAside(record, when) {
      return this.keep(key("kept", ...sheetNames(record), when), record);
    }

    /** Every record of a job kept here. */
    recordsOf(number) {
      const names = this.names("sheet").filter(([job]) => job === number);
      return names.map((parts) => this.kept(key("sheet", ...parts))).filter((one) => one !== null);
    }

    desk(of) {
      return this.kept(key("desk", ...sheetNames(of))) || {};
    }

    keepDesk(of, desk) {
      return this.keep(key("desk", ...sheetNames(of)), desk);
    }

    /** Which job and run a checklist was last filled in for. */
    last() {
      return this.kept(key("last")) || {};
    }

    keepLast(last) {
      return this.keep(key("last"), last);
    }

    /** The storage key of a record, to tell when another window writes it. */
    keyOf(of) {
      return key("sheet", ...sheetNames(of));
    }
  }

  const AT_ONCE = "What you fill in now is lost when this page closes: save the record to a file at once.";
  const FULL = `The browser's storage is full. ${AT_ONCE}`;
  const REFUSED = `The browser keeps nothing here (private window, or storage switched off). ${AT_ONCE}`;
  const BROKEN = "Something kept in this browser cannot be read any more. Open its file if you saved one.";

  Gaugeleaf.store = Object.freeze({ Store });
})();
