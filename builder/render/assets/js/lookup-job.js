/**
 * One job beside the manual: its limits in the place of the family's, and its own readings. The data are those of
 * `builder/render/find_job_data.py`: a script of the site for each job of the shop, or a file that somebody opens.
 *
 * @typedef {{stage: string, name: string, step: Step,
 *   lines: {where: string, shown: Measure | null, partner: Measure | null, verdict: string, bad: boolean}[]}} Readings
 * @typedef {{number: string, engine: string, said: string, until: string, known: Map<string, object>,
 *   data: object}} Job
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { value, measure, step } = Gaugeleaf.lookupUnpacked;
  const VERSION = 1;
  const PAGE = /^[\w./-]+\.html$/;
  const HASH = /^[\w.#/-]*$/;

  /** Whether data are those of a job, so that what is opened by mistake is refused. @returns {boolean} */
  function isJob(data) {
    const lists = [data?.strings, data?.steps];
    return (
      data?.lookup === VERSION &&
      [data.number, data.engine, data.said, data.until].every((each) => typeof each === "string") &&
      lists.every(Array.isArray) &&
      data.strings.every((each) => typeof each === "string") &&
      typeof data.rows === "object" &&
      data.steps.every(([, , page]) => PAGE.test(data.strings[page]))
    );
  }

  /** A job made ready. @returns {Job} */
  function jobOf(data) {
    return { ...data, known: new Map(), data };
  }

  /** Links of a file that somebody opened lead to pages of this site or nowhere. */
  function safe(cites) {
    return cites.map((cite) => (HASH.test(cite.href) ? cite : { ...cite, href: "sources.html" }));
  }

  function unpackedValues(job, packed) {
    return packed.map((each) => {
      const made = value(each, job.data.strings);
      return { ...made, cites: safe(made.cites), label: job.data.strings[each[each.length - 1]] };
    });
  }

  /** @returns {Readings} */
  function unpackedReadings(job, [stage, name, at, lines]) {
    const { strings, steps } = job.data;
    const inUnits = (packed) => (packed ? measure(packed, strings) : null);
    return {
      stage: strings[stage],
      name: strings[name],
      step: step(steps[at], strings),
      lines: lines.map(([where, shown, partner, verdict, bad]) => ({
        where: strings[where],
        shown: inUnits(shown),
        partner: inUnits(partner),
        verdict: strings[verdict],
        bad: Boolean(bad),
      })),
    };
  }

  /** What a job says of a characteristic, unpacked when it is first asked for. */
  function said(job, name) {
    if (!job.known.has(name)) {
      const [values, readings] = job.data.rows[name];
      job.known.set(name, {
        values: unpackedValues(job, values),
        readings: readings.map((each) => unpackedReadings(job, each)),
      });
    }
    return job.known.get(name);
  }

  /** A row as it stands on a job. @returns {Row} */
  function rowOn(job, row, name, families) {
    const here = { ...row, job: job.number, readings: [] };
    if (families[row.family][0] !== job.engine) return row;
    if (!Object.hasOwn(job.data.rows, name)) return here;
    const { values, readings } = said(job, name);
    const sizes = values.some((each) => each.decides && each.kind === "job") ? [] : row.sizes;
    return { ...here, values, readings, sizes };
  }

  /** Rows that show a job where one is chosen; `chosen.job` is a job or null. */
  function rowsOn(rows, subjects, families, chosen) {
    function of(subject, family, most) {
      const found = rows.of(subject, family, most);
      return chosen.job ? found.map((row) => rowOn(chosen.job, row, subjects[subject], families)) : found;
    }
    return { of, count: rows.count };
  }

  let waiting = null;

  /** What the script of a job calls. */
  Gaugeleaf.lookupJob = (data) => waiting && waiting(data);

  /** Load a job of the shop; `done` gets it, or null where its file is not there. */
  function load(path, done) {
    const script = document.createElement("script");
    waiting = (data) => done(isJob(data) ? jobOf(data) : null);
    script.src = path;
    script.addEventListener("error", () => done(null));
    script.addEventListener("load", () => script.remove());
    document.head.append(script);
  }

  /** Read a job from a file that somebody chose; `done` gets it, or null where it holds none. */
  function open(file, done) {
    const reader = new FileReader();
    reader.addEventListener("load", () => done(parsed(String(reader.result))));
    reader.addEventListener("error", () => done(null));
    reader.readAsText(file);
  }

  function parsed(text) {
    try {
      const data = JSON.parse(text);
      return isJob(data) ? jobOf(data) : null;
    } catch (broken) {
      return null;
    }
  }

  Gaugeleaf.lookupOnJob = { rowsOn, load, open, parsed };
})();
