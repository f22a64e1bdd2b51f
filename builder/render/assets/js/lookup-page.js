/**
 * The page *Find a value*: every keystroke ranks, the first hit stands open and large, the others beneath it.
 * Choices are remembered where the browser allows it; the query stands in the address.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { make, link } = Gaugeleaf.lookupAnswer;
  const { MORE, list, summary, spoken } = Gaugeleaf.lookupHits;
  const { rank, folded } = Gaugeleaf.lookup;
  const AT_FIRST = 8;
  const SAID_AFTER = 700;
  const KEPT_AFTER = 400;
  const SAYINGS = ["", ", said in Britain", ", said in America", ", said in old books", "", ""];

  const byId = (id) => document.getElementById(id);
  const box = byId("find-words");
  const engine = byId("find-engine");
  const jobs = byId("find-job");
  const results = byId("find-results");
  const data = Gaugeleaf.lookupData;
  const index = Gaugeleaf.lookup.index(JSON.parse(data.index));
  const view = {
    families: data.families,
    kinds: data.kinds,
    subjects: index.subjects,
    rows: null,
    metric: false,
    chosen: { job: null, turn: 0 }, // the job that answers are given for, and how many were chosen before it
  };
  const onJob = Gaugeleaf.lookupOnJob;
  view.rows = onJob.rowsOn(Gaugeleaf.lookupRows(data, index), index.subjects, data.families, view.chosen);
  const phrases = phrasesOf(data.terms);
  const choice = { family: -1 };
  const found = { query: "", family: -1, hits: new Int32Array(0), shown: AT_FIRST, open: -1, unmatched: 0, elsewhere: 0 };

  // What is remembered

  let store = null;

  const kept = (name) => store && store.getItem(`gaugeleaf.find.${name}`);

  function keep(name, value) {
    try {
      store.setItem(`gaugeleaf.find.${name}`, value);
    } catch (refused) {
      // full, or none: then the choice lasts for this page only
    }
  }

  let addressTimer = 0;

  /** Put the query into the address once typing rests, so that the page can be linked to and gone back to. */
  function keepAddress() {
    clearTimeout(addressTimer);
    addressTimer = setTimeout(() => {
      const said = new URLSearchParams();
      if (box.value.trim()) said.set("q", box.value.trim());
      if (choice.family >= 0) said.set("engine", data.families[choice.family][0]);
      if (view.chosen.job) said.set("job", view.chosen.job.number);
      if (view.metric) said.set("units", "metric");
      try {
        history.replaceState(null, "", `#${said}`);
      } catch (refused) {
        // too many changes at once; the next one will do
      }
    }, KEPT_AFTER);
  }

  /** Take query, engine and units out of the address; what it does not say stays as it is. */
  function readAddress() {
    const said = new URLSearchParams(location.hash.slice(1));
    if (said.has("q")) box.value = said.get("q");
    if (said.has("engine")) leaveJob(chooseEngine(said.get("engine")));
    if (said.has("job")) chooseJob(said.get("job"));
    if (said.has("units")) chooseUnits(said.get("units") === "metric");
  }

  function chooseEngine(id) {
    choice.family = data.families.findIndex((family) => family[0] === id);
    engine.value = choice.family < 0 ? "" : id;
    return id;
  }

  // The job

  /** Take up a job, or none; its family is chosen with it. */
  function takeUp(job) {
    view.chosen.job = job;
    view.chosen.turn += 1;
    if (job) chooseEngine(job.engine);
    const until = job && job.until ? `; its sheets up to ${job.until}` : "";
    byId("find-job-said").textContent = job ? `${job.said}${until}.` : "";
    look();
  }

  /** Another family than the job's means that nobody asks for the job any more. */
  function leaveJob(id) {
    if (!view.chosen.job || view.chosen.job.engine === id) return;
    jobs.value = "";
    keep("job", "");
    takeUp(null);
  }

  /** Load a job of the shop by its number; an empty one leaves the job that is there. */
  function chooseJob(number) {
    const known = Gaugeleaf.lookupJobs.find((job) => job[0] === number);
    jobs.value = known ? number : "";
    if (!known) {
      takeUp(null);
      return;
    }
    if (view.chosen.job && view.chosen.job.number === number) return;
    onJob.load(known[2], (job) => {
      if (jobs.value !== number) return; // another was chosen meanwhile
      takeUp(job);
      if (!job) refuseJob(`Job ${number} could not be read: build the site again.`);
    });
  }

  function openJob(files) {
    if (!files.length) return;
    onJob.open(files[0], (job) => {
      const family = job && data.families.some((each) => each[0] === job.engine);
      jobs.value = "";
      takeUp(family ? job : null);
      if (!family) refuseJob("This is no job of the look-up. Write one with: gaugeleaf job look-up FOLDER");
    });
  }

  function refuseJob(why) {
    byId("find-job-said").textContent = why;
  }

  function listJobs() {
    for (const [number, family] of Gaugeleaf.lookupJobs) {
      const [, title] = data.families.find((each) => each[0] === family) || ["", family];
      jobs.append(new Option(`${number}, ${title}`, number));
    }
  }

  function chooseUnits(metric) {
    view.metric = metric;
    byId(metric ? "find-metric" : "find-inch").checked = true;
  }

  // Words

  /** Every phrase of the terms, folded, with the terms that it stands for. */
  function phrasesOf(terms) {
    const known = new Map();
    for (const term of terms) {
      for (const [phrase, saying] of Object.entries(term[3])) {
        if (!known.has(phrase)) known.set(phrase, []);
        known.get(phrase).push([term, saying]);
      }
    }
    return known;
  }

  /** Which word of the trade was typed, where it is not the shop's own: `babbitt` is `white metal`. */
  function showTerms() {
    const meant = phrases.get(folded(box.value).join(" ")) || [];
    const foreign = meant.filter(([, saying]) => saying).slice(0, 2);
    byId("find-terms").replaceChildren(
      ...foreign.map(([[name, meaning, href], saying]) => {
        const shop = link(href, name);
        shop.title = meaning;
        return make("span", "gl-find-term", `“${box.value.trim()}” is `, shop, SAYINGS[saying]);
      }),
    );
  }

  let sayTimer = 0;

  /** Say the count at once on the page, and to a screen reader once typing rests. */
  function say(text) {
    byId("find-count").textContent = text;
    clearTimeout(sayTimer);
    sayTimer = setTimeout(() => (byId("find-said").textContent = text + spoken(view, found)), SAID_AFTER);
  }

  // Hits

  /** How many hits all families together have that match more words than those of the one in view. */
  function elsewhere(query, ranking, family) {
    if (family < 0 || (ranking.subjects.length && !ranking.unmatched)) return 0;
    const every = rank(index, query, -1);
    const better = !ranking.subjects.length || every.unmatched < ranking.unmatched;
    return every.family < 0 && better ? every.subjects.length : 0;
  }

  let shown = new Map();

  /** Show the list; what stood in it before and still does is left alone, which is most of it while one types. */
  function showHits() {
    const now = list(view, found, shown);
    for (const [key, item] of shown) if (now.get(key) !== item) item.remove();
    let next = results.firstChild;
    for (const item of now.values()) {
      if (item === next) next = next.nextSibling;
      else results.insertBefore(item, next);
    }
    shown = now;
  }

  /** The characteristics of the wall card that the chosen family has. */
  function wall() {
    return Int32Array.from(data.wall.filter((subject) => view.rows.count(subject, choice.family)));
  }

  /** What stands in the box, ranked; without a word the wall card. */
  function ranked(query) {
    if (!query) {
      Object.assign(found, { family: choice.family, hits: wall(), shown: AT_FIRST, open: -1, unmatched: 0, elsewhere: 0 });
      return false;
    }
    const ranking = rank(index, query, choice.family);
    const family = choice.family >= 0 ? choice.family : ranking.family;
    const hits = ranking.subjects;
    const open = hits.length && !ranking.unmatched ? hits[0] : -1;
    const { unmatched } = ranking;
    Object.assign(found, { family, hits, shown: AT_FIRST, open, unmatched, elsewhere: elsewhere(query, ranking, family) });
    return family !== choice.family;
  }

  /** Rank for what stands in the box and show it. */
  function look() {
    found.query = box.value.trim();
    const named = ranked(found.query);
    showTerms();
    showHits();
    say(summary(view, found, named));
    byId("find-clear").hidden = !box.value;
    keepAddress();
  }

  function open(subject) {
    found.open = subject === found.open ? -1 : subject;
    showHits();
    focusHit(subject);
  }

  /** Show a characteristic that another one follows from, as if its name had been typed. */
  function goTo(subject) {
    const [row] = view.rows.of(subject, found.family, 1);
    box.value = row.code || row.title;
    look();
    if (found.hits.includes(subject)) found.open = subject;
    showHits();
    focusHit(subject);
  }

  // Keys and fingers

  function buttons() {
    return [...results.querySelectorAll(".gl-find-hit-button")];
  }

  function focusHit(subject) {
    const button = results.querySelector(`.gl-find-hit-button[data-subject="${subject}"]`);
    if (!button) return;
    button.focus({ preventScroll: true });
    button.closest("li").scrollIntoView({ block: "nearest" });
  }

  function clear() {
    box.value = "";
    look();
    box.focus();
  }

  /** Move among the box and the hits; the box stands before the first hit. */
  function move(from, by) {
    const all = [box, ...buttons()];
    const next = all[Math.min(Math.max(all.indexOf(from) + by, 0), all.length - 1)];
    next.focus();
    if (next === box) box.select();
  }

  function onBoxKey(event) {
    if (event.key === "Enter") {
      event.preventDefault();
      if (found.open < 0 && found.hits.length) open(found.hits[0]);
      else focusHit(found.open);
    } else if (event.key === "Escape") {
      event.preventDefault();
      clear();
    } else if (event.key === "ArrowDown") {
      event.preventDefault();
      move(box, 1);
    }
  }

  function onHitKey(event) {
    const { target } = event;
    if (!target.classList.contains("gl-find-hit-button")) return;
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      move(target, event.key === "ArrowDown" ? 1 : -1);
    } else if (event.key === "Escape") {
      event.preventDefault();
      clear();
    }
  }

  /** `/` goes to the box from wherever nothing is being written. */
  function onAnyKey(event) {
    const writing = event.target.closest("input, textarea, select, [contenteditable]");
    if (event.key !== "/" || writing || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    box.focus();
    box.select();
  }

  function onResultClick(event) {
    const button = event.target.closest("button");
    if (!button) return;
    if ("more" in button.dataset) {
      const first = found.hits[found.shown];
      found.shown += MORE;
      showHits();
      focusHit(first);
    } else if ("all" in button.dataset) {
      leaveJob(chooseEngine(""));
      keep("engine", "");
      look();
      box.focus();
    } else if (button.classList.contains("gl-find-mate")) {
      goTo(Number(button.dataset.subject));
    } else {
      open(Number(button.dataset.subject));
    }
  }

  function listen() {
    box.addEventListener("input", look);
    box.addEventListener("keydown", onBoxKey);
    results.addEventListener("keydown", onHitKey);
    results.addEventListener("click", onResultClick);
    window.addEventListener("keydown", onAnyKey, true);
    byId("find-clear").addEventListener("click", clear);
    byId("find").addEventListener("submit", (event) => event.preventDefault());
    engine.addEventListener("change", () => {
      leaveJob(chooseEngine(engine.value));
      keep("engine", engine.value);
      look();
    });
    jobs.addEventListener("change", () => {
      keep("job", jobs.value);
      chooseJob(jobs.value);
    });
    byId("find-job-file").addEventListener("change", (event) => {
      openJob(event.target.files);
      event.target.value = "";
    });
    for (const id of ["find-inch", "find-metric"]) {
      byId(id).addEventListener("change", () => {
        chooseUnits(byId("find-metric").checked);
        keep("units", view.metric ? "metric" : "inch");
        showHits();
        keepAddress();
      });
    }
    window.addEventListener("hashchange", () => {
      readAddress();
      look();
    });
  }

  function start(opened) {
    store = opened;
    listJobs();
    chooseEngine(kept("engine") || "");
    chooseUnits(kept("units") === "metric");
    readAddress();
    if (!location.hash && kept("job")) chooseJob(kept("job"));
    listen();
    look();
    if (matchMedia("(pointer: fine)").matches && !location.hash) box.focus();
  }

  Gaugeleaf.whenOpened(start);
  // The first letters find the most; ranking a few while nobody types lets the browser compile what counts them.
  const rest = globalThis.requestIdleCallback || setTimeout;
  for (const letters of ["s", "c", "be", "in cl", "p", "ma be"]) rest(() => rank(index, letters, -1));
})();
