/**
 * The record of one filled sheet, in the form that the command line reads: what may be written into it, and how.
 *
 * Every function gives a new record and leaves the old one as it was. No page and no storage is known here.
 *
 * @typedef {{step: string, name: string, at: Object<string, string>, stage: string}} Place
 * @typedef {{typed: string, unit: string, gauge: string, setting: string, by: string, when: string}} Entry
 */
(function () {
  "use strict";

  const Gaugeleaf = (globalThis.Gaugeleaf = globalThis.Gaugeleaf || {});
  const VERSION = 1;
  const STAGES = ["as_found", "as_machined", "final", "after_run"];
  const RUNS = ["mock_up", "final"];
  const LISTS = ["readings", "ticks", "looks", "holds", "corrections", "passes", "skipped", "photos", "notes"];
  const PARTS = ["steps", "limits", "rest"];

  const NOTHING_SAID = Object.fromEntries(PARTS.map((name) => [name, {}]));

  /** A record with nothing in it, of a job, engine, procedure, edition and run. */
  function blank(of) {
    const lists = Object.fromEntries(LISTS.map((name) => [name, []]));
    const { job, engine, procedure, edition, said, run } = of;
    return { sheet: VERSION, job, engine, procedure, edition, said: said || NOTHING_SAID, run, room: "", ...lists };
  }

  /** Whether anything was written into a record. */
  function isEmpty(record) {
    return LISTS.every((name) => record[name].length === 0);
  }

  const keys = new WeakMap();
  const indexes = new WeakMap();

  /** A place as one text, whatever the order in which its labels were written; remembered for each reading. */
  function keyOf(place) {
    if (!keys.has(place)) {
      const at = Object.entries(place.at || {}).sort(([one], [other]) => (one < other ? -1 : 1));
      keys.set(place, JSON.stringify([place.step, place.name, at, place.stage || ""]));
    }
    return keys.get(place);
  }

  /** The readings and corrections of a record by place, made once for each record. */
  function indexOf(record) {
    if (!indexes.has(record)) {
      const index = { standing: new Map(), tries: new Map(), struck: new Map() };
      const first = record.readings.filter((one) => one.try === 1);
      index.builders = new Set([...first, ...record.ticks].map((one) => one.by));
      for (const one of record.readings) file(index, keyOf(one), one);
      for (const one of record.corrections) {
        index.struck.set(keyOf(one.of), [...(index.struck.get(keyOf(one.of)) || []), one]);
      }
      indexes.set(record, index);
    }
    return indexes.get(record);
  }

  /** File a reading under its place: the latest try stands, the others are earlier tries. */
  function file(index, key, one) {
    const before = index.standing.get(key);
    const stands = !before || one.try >= before.try;
    const earlier = stands ? before : one;
    if (stands) index.standing.set(key, one);
    if (earlier) index.tries.set(key, [...(index.tries.get(key) || []), earlier]);
  }

  /** Whether no reading of a record was ever changed or taken again. */
  function isUnchanged(record) {
    const { struck, tries } = indexOf(record);
    return struck.size === 0 && tries.size === 0;
  }

  /** The reading that stands at a place: its latest try, or undefined. */
  function standing(record, place) {
    return indexOf(record).standing.get(keyOf(place));
  }

  /** A reading as the record keeps it. */
  function reading(place, entry, number) {
    const { step, name, at, stage } = place;
    const { typed, unit, gauge, setting, by, when } = entry;
    return { step, name, at, stage, try: number, typed, unit, gauge, setting, by, when };
  }

  /** Replace one item of a list. */
  function replaced(list, old, fresh) {
    return list.map((one) => (one === old ? fresh : one));
  }

  /** Write a reading where none stands, or over one that was refused or is still being typed. */
  function enter(record, place, entry) {
    const old = standing(record, place);
    const fresh = reading(place, entry, old ? old.try : 1);
    const readings = old ? replaced(record.readings, old, fresh) : [...record.readings, fresh];
    return { ...record, readings };
  }

  /** A correction of the reading that stands at a place. */
  function correction(old, why, by, when) {
    const { step, name, at, stage } = old;
    return { of: { step, name, at, stage, try: old.try }, was: old.typed, why, by, when };
  }

  /** Change a reading: the old value stays in the record, struck through, with the reason. */
  function correct(record, place, entry, why) {
    const old = standing(record, place);
    const readings = replaced(record.readings, old, reading(place, entry, old.try));
    const corrections = [...record.corrections, correction(old, why, entry.by, entry.when)];
    return { ...record, readings, corrections };
  }

  /** Take a reading away: what it was stays among the corrections. */
  function strike(record, place, why, by, when) {
    const old = standing(record, place);
    const corrections = [...record.corrections, correction(old, why, by, when)];
    return { ...record, readings: record.readings.filter((one) => one !== old), corrections };
  }

  /** Take away a reading that was refused or is still being typed: it never was one. */
  function discard(record, place) {
    const old = standing(record, place);
    return { ...record, readings: record.readings.filter((one) => one !== old) };
  }

  /** Measure again after work was done: a new try; the old reading stays a reading. */
  function measureAgain(record, place, entry) {
    const old = standing(record, place);
    return { ...record, readings: [...record.readings, reading(place, entry, old.try + 1)] };
  }

  /** Give the reason of the correction last made at a place. */
  function explain(record, place, why) {
    const key = keyOf(place);
    const last = record.corrections.filter((one) => keyOf(one.of) === key).pop();
    return last ? { ...record, corrections: replaced(record.corrections, last, { ...last, why }) } : record;
  }

  /** Turn the correction last made at a place into a new try, because the part was worked on in between. */
  function asNewTry(record, place) {
    const key = keyOf(place);
    const last = record.corrections.filter((one) => keyOf(one.of) === key).pop();
    const now = standing(record, place);
    if (!last || !now) return record;
    const before = { ...now, typed: last.was };
    const again = { ...now, try: now.try + 1 };
    const readings = record.readings.flatMap((one) => (one === now ? [before, again] : [one]));
    return { ...record, readings, corrections: record.corrections.filter((one) => one !== last) };
  }

  /** What stood at a place before, oldest first: corrected values and earlier tries. */
  function history(record, place) {
    const index = indexOf(record);
    const key = keyOf(place);
    const struck = (index.struck.get(key) || [])
      .map(({ was, why, by, when }) => ({ typed: was, why, by, when, struck: true }));
    const tries = (index.tries.get(key) || [])
      .map(({ typed, by, when, try: number }) => ({ typed, why: `try ${number}`, by, when, struck: false }));
    return [...struck, ...tries].sort((one, other) => Date.parse(one.when) - Date.parse(other.when));
  }

  /** Mark a step done, or take the mark away. */
  function tick(record, step, done, by, when) {
    const others = record.ticks.filter((one) => one.step !== step);
    return { ...record, ticks: done ? [...others, { step, by, when }] : others };
  }

  /** Answer something looked at. */
  function look(record, place, seen, by, when) {
    const { step, name, at } = place;
    const key = keyOf({ step, name, at });
    const others = record.looks.filter((one) => keyOf({ step: one.step, name: one.name, at: one.at }) !== key);
    return { ...record, looks: [...others, { step, name, at, seen, by, when }] };
  }

  /** Write down one pass of a correction at a position. */
  function pass(record, step, rule, at, amount, by, when) {
    const number = passesOf(record, step, rule, at).length + 1;
    return { ...record, passes: [...record.passes, { step, rule, pass: number, at, amount, by, when }] };
  }

  /** The passes made of one correction of a step at a position; one without a position counts for all. */
  function passesOf(record, step, rule, at) {
    const here = (one) => Object.entries(one.at).every(([side, label]) => at[side] === label);
    return record.passes.filter((one) => one.step === step && one.rule === rule && here(one));
  }

  /** The remark on the sheet as a whole that may be changed: the last one. */
  function sheetNote(record) {
    return record.notes.filter((one) => !one.step).pop();
  }

  /** Change the last remark on the sheet as a whole, or make the first. */
  function note(record, text, by, when) {
    const others = record.notes.filter((one) => one !== sheetNote(record));
    return { ...record, notes: text.trim() ? [...others, { step: "", text, by, when }] : others };
  }

  /** Who did the work on this sheet: whoever ticked or took a first reading; a second reading is a check. */
  function builders(record) {
    return indexOf(record).builders;
  }

  /** Write down what is not done, or take it back. */
  function skip(record, place, reason, by, when) {
    const { step, name, at } = place;
    return { ...record, skipped: [...record.skipped, { step, name, at, reason, by, when }] };
  }

  /** Whether something that is said not to be done is about a place. */
  function skips(one, place) {
    const named = one.step === place.step && (!one.name || one.name === place.name);
    return named && Object.entries(one.at).every(([side, label]) => place.at[side] === label);
  }

  /** What the record says that is not done at a place, or undefined. */
  function skipAt(record, place) {
    return record.skipped.find((one) => skips(one, place));
  }

  /** The steps that are not done as a whole. */
  function skippedSteps(record) {
    const whole = record.skipped.filter((one) => !one.name && !Object.keys(one.at).length);
    return new Set(whole.map((one) => one.step));
  }

  /** A remark on a step. */
  function remark(record, step, text, by, when) {
    return { ...record, notes: [...record.notes, { step, text, by, when }] };
  }

  /** A photo of a step; the picture itself goes into the job's folder. */
  function photo(record, step, file, caption, by, when) {
    return { ...record, photos: [...record.photos, { step, file, caption, by, when }] };
  }

  /** Take one entry of a list back. */
  function takeBack(record, list, entry) {
    return { ...record, [list]: record[list].filter((one) => one !== entry) };
  }

  // Files

  const isText = (value) => typeof value === "string";
  const isWord = (value) => isText(value) && value.trim() !== "";
  const isLabels = (value) => isObject(value) && Object.values(value).every(isWord);
  const isCount = (value) => Number.isInteger(value) && value >= 0;
  const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
  const isOf = (known) => (value) => known.includes(value);
  const optional = (test) => Object.assign((value) => value === undefined || test(value), { optional: true });

  const KEY = { step: isWord, name: isWord, at: optional(isLabels), stage: isOf(STAGES), try: optional(isCount) };
  const SAID = Object.fromEntries(PARTS.map((name) => [name, optional(isLabels)]));
  const SIGNED = { by: isWord, when: isWord };
  const SHAPES = {
    readings: { ...KEY, typed: isWord, unit: isWord, gauge: optional(isText), setting: optional(isText), ...SIGNED },
    ticks: { step: isWord, ...SIGNED },
    looks: { step: isWord, name: isWord, at: optional(isLabels), seen: isOf(["yes", "no"]), ...SIGNED },
    holds: { hold: isWord, role: isWord, ...SIGNED },
    corrections: { of: (value) => fault(value, KEY) === "", was: isWord, why: optional(isText), ...SIGNED },
    passes: {
      step: isWord, rule: isCount, pass: isCount, at: optional(isLabels), amount: optional(isText), ...SIGNED,
    },
    skipped: { step: isWord, name: optional(isText), at: optional(isLabels), reason: isWord, ...SIGNED },
    photos: {
      step: isWord, file: isWord, caption: optional(isText), by: optional(isText), when: optional(isText),
    },
    notes: { step: optional(isText), text: isWord, by: optional(isText), when: optional(isText) },
  };
  const SHEET = {
    sheet: (value) => value === VERSION, job: isWord, engine: isWord, procedure: isWord, edition: optional(isText),
    said: optional((value) => fault(value, SAID) === ""), run: isOf(RUNS), room: optional(isText),
  };

  /** The first key of a value that is not as its shape asks, or empty. */
  function fault(value, shape) {
    if (!isObject(value)) return "it";
    const stranger = Object.keys(value).find((key) => !Object.hasOwn(shape, key));
    return stranger || Object.keys(shape).find((key) => !shape[key](value[key])) || "";
  }

  /** What is wrong with a list of a record, in words; empty when nothing is. */
  function listFault(name, list) {
    if (list === undefined) return "";
    if (!Array.isArray(list)) return `\`${name}\` is not a list`;
    for (const [number, one] of list.entries()) {
      const key = fault(one, SHAPES[name]);
      if (key) return `\`${key}\` of entry ${number + 1} in \`${name}\` is not as it should be`;
    }
    return "";
  }

  /** What is wrong with plain data that should be a record, in words; empty when nothing is. */
  function recordFault(data) {
    if (!isObject(data)) return "it is not a record";
    if (isCount(data.sheet) && data.sheet !== VERSION) {
      return `it is of format ${data.sheet}, this page reads format ${VERSION}: open it with the page that wrote it`;
    }
    const head = fault(data, { ...SHEET, ...Object.fromEntries(LISTS.map((name) => [name, () => true])) });
    if (head) return `\`${head}\` is not as it should be`;
    return LISTS.map((name) => listFault(name, data[name])).find(Boolean) || "";
  }

  /** A record with every list and every optional word in place. */
  function completed(data) {
    const whole = { ...blank(data), ...data, edition: data.edition || "", room: data.room || "" };
    const placed = (one) => ({ ...one, at: one.at || {}, try: one.try === undefined ? 1 : one.try });
    return {
      ...whole,
      readings: whole.readings.map((one) => ({ ...placed(one), gauge: one.gauge || "", setting: one.setting || "" })),
      said: { ...NOTHING_SAID, ...whole.said },
      looks: whole.looks.map((one) => ({ ...one, at: one.at || {} })),
      passes: whole.passes.map((one) => ({ ...one, at: one.at || {} })),
      skipped: whole.skipped.map((one) => ({ ...one, name: one.name || "", at: one.at || {} })),
      corrections: whole.corrections.map((one) => ({ ...one, of: placed(one.of), why: one.why || "" })),
    };
  }

  /** Read the text of a file. @returns {{record: object|null, fault: string}} */
  function fromText(text) {
    let data;
    try {
      data = JSON.parse(text);
    } catch {
      return { record: null, fault: "it is not JSON, or it is cut off" };
    }
    const wrong = recordFault(data);
    return wrong ? { record: null, fault: wrong } : { record: completed(data), fault: "" };
  }

  /** A record as the text of its file: one entry a line, so that two records can be compared by eye. */
  function toText(record) {
    const lines = Object.entries(record).map(([key, value]) => {
      const list = Array.isArray(value) && value.length > 0;
      const entries = () => value.map((one) => `    ${JSON.stringify(one)}`).join(",\n");
      return `  ${JSON.stringify(key)}: ${list ? `[\n${entries()}\n  ]` : JSON.stringify(value)}`;
    });
    return `{\n${lines.join(",\n")}\n}\n`;
  }

  /** The name of a record's file: letters, digits and dashes. */
  function fileName(record) {
    const words = [record.job, record.procedure, record.run === "final" ? "" : record.run];
    return `${words.filter(Boolean).join("-").replace(/[^A-Za-z0-9.]+/gu, "-")}.json`;
  }

  Gaugeleaf.record = Object.freeze({
    STAGES, RUNS, blank, isEmpty, isUnchanged, keyOf, standing, enter, correct, strike, discard, measureAgain, explain,
    asNewTry, history, tick, look, pass, passesOf, sheetNote, note, builders, skip, skips, skipAt, skippedSteps, remark, photo,
    takeBack, recordFault, completed, fromText, toText, fileName,
  });
})();
