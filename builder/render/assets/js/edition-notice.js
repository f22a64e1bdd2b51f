/**
 * What a page says of a record before it is filled in further: that it was filled in on another edition, and in
 * what this one says otherwise (the browser's half of `builder/said.py`); that a sheet in the box cannot be read.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { element, quoted } = Gaugeleaf.view;
  const record = Gaugeleaf.record;
  const PARTS = {
    procedure: "What stands before the first step reads otherwise.",
    notes: "Notes or positions of a characteristic read otherwise.",
    sizes: "The listed sizes are others.",
    seats: "What sits on what is laid down otherwise.",
    holds: "A hold reads otherwise.",
    hazards: "A safety message reads otherwise.",
    instruments: "An instrument is described otherwise.",
    worksheets: "A worksheet reckons otherwise.",
    sources: "A source is named otherwise.",
  };

  /** Steps by number with what is to be said of one or of many; empty where there are none. */
  function numbered(names, numbers, one, many) {
    const listed = names.map((name) => numbers.get(name)).join(", ");
    return listed && (names.length === 1 ? `Step ${listed} ${one}` : `Steps ${listed} ${many}`);
  }

  /** What is new, other, gone or moved among the steps. */
  function stepChanges(before, now, numbers) {
    const fresh = Object.keys(now).filter((name) => !Object.hasOwn(before, name));
    const other = Object.keys(now).filter((name) => Object.hasOwn(before, name) && before[name] !== now[name]);
    const told = [numbered(fresh, numbers, "is new.", "are new."),
      numbered(other, numbers, "reads otherwise.", "read otherwise.")].filter(Boolean);
    const gone = Object.keys(before).filter((name) => !Object.hasOwn(now, name));
    const both = (one, other) => Object.keys(one).filter((name) => Object.hasOwn(other, name)).join();
    const moved = both(before, now) !== both(now, before) ? ["The steps stand in another order."] : [];
    return [...told, ...gone.map((name) => `Step “${name}” is gone.`), ...moved];
  }

  /** The limits that are others, each before and now. */
  function limitChanges(before, now, rows) {
    const titled = (name) => (rows[name] ? rows[name].title : name);
    return [...new Set([...Object.keys(now), ...Object.keys(before)])]
      .filter((name) => before[name] !== now[name])
      .map((name) => `${titled(name)}: ${before[name] || "not there"} before, ${now[name] || "gone"} now.`);
  }

  /** In what a program says otherwise than a record's edition did, a sentence for each thing. */
  function changes(before, program) {
    if (!before || !Object.keys(before.steps).length) return [];
    const now = program.said;
    const numbers = new Map(program.steps.map((step) => [step.id, step.number]));
    return [
      ...stepChanges(before.steps, now.steps, numbers),
      ...limitChanges(before.limits, now.limits, program.rows),
      ...Object.keys(PARTS).filter((part) => before.rest[part] !== now.rest[part]).map((part) => PARTS[part]),
    ];
  }

  /** Say which limits of the job's box sheets the page cannot read: they are judged by the command line. */
  function unreadSheets(page) {
    const unread = Gaugeleaf.limit.unread(page.job.supplier || {}, page.bench.reader);
    if (!unread.length) return;
    page.tell(`The sheet in the box says something of ${unread.join(", ")} that this page cannot read. ` +
      "Here the book's limit stands; the command line judges by the sheet.");
  }

  /** Say clearly when the record was filled in on another edition of the checklist, and what has changed. */
  function otherEdition(page) {
    const { edition } = page.program;
    const before = page.record.edition;
    if (!before || before === edition || record.isEmpty(page.record)) return;
    const go = element("button", { type: "button", class: "gl-button" }, "Go on with this edition");
    go.addEventListener("click", () => takeUp(page));
    const told = changes(page.record.said, page.program);
    const list = element("ul", { class: "gl-changed" }, ...told.map((one) => element("li", {}, quoted(one))));
    const what = told.length ? "What has changed since:" : "Compare limits and steps before you go on.";
    const said = `This record was filled in on edition ${before}; the checklist is now edition ${edition}. ${what}`;
    page.tell(said, ...(told.length ? [list] : []), `${withoutBox(page)} `, go);
  }

  /** Go on with the edition of the page; the remark on the sheet keeps who did so and when. */
  function takeUp(page) {
    const { edition, said } = page.program;
    const field = document.getElementById("gl-notes");
    field.value = `${field.value} Moved from edition ${page.record.edition} to ${edition}.`.trim();
    page.write({ ...record.note(page.record, field.value, page.by, page.now()), edition, said });
  }

  /** Say when the sheet of paper that led here, by the code printed on it, is of another edition. */
  function otherPaper(page) {
    const { edition } = page.program;
    const [, printed] = /^#edition-([0-9a-f]{8})$/.exec(location.hash) || [];
    if (!printed || printed === edition) return;
    page.tell(`The sheet of paper is of edition ${printed}; this page is edition ${edition}. ` +
      "Ask the foreman which one the job is on before you go on.");
  }

  /** The readings that this edition has no box for, in words; empty when there are none. */
  function withoutBox(page) {
    const anywhere = (one) => record.keyOf({ ...one, stage: "" });
    const places = new Set(page.bench.grids.flatMap((grid) => grid.blanks.map(anywhere)));
    const lost = page.record.readings.filter((one) => !places.has(anywhere(one)));
    if (!lost.length) return "";
    const where = [...new Set(lost.map((one) => `${one.step}: ${one.name}`))].join(", ");
    return ` Without a box here now, but kept in the record: ${lost.length} of its readings (${where}).`;
  }

  Gaugeleaf.notices = Object.freeze({ changes, unreadSheets, otherEdition, otherPaper });
})();
