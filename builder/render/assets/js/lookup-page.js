/**
 * The page *Find a value*: every keystroke ranks, the first hit stands open and large, the others beneath it.
 * Choices are remembered where the browser allows it; the query stands in the address.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { make, link, brief, answer, plain, turned } = Gaugeleaf.lookupAnswer;
  const { rank, telling } = Gaugeleaf.lookup;
  const AT_FIRST = 8;
  const MORE = 24;
  const BRIEFS = 3;
  const SAID_AFTER = 700;
  const KEPT_AFTER = 400;
  const SAYINGS = ["", "said in Britain", "said in America", "said in old books", "also said", ""];

  const byId = (id) => document.getElementById(id);
  const box = byId("find-words");
  const engine = byId("find-engine");
  const results = byId("find-results");
  const data = Gaugeleaf.lookupData;
  const index = Gaugeleaf.lookup.index(JSON.parse(data.index));
  const view = {
    families: data.families,
    kinds: data.kinds,
    subjects: index.subjects,
    rows: Gaugeleaf.lookupRows(data, index),
    metric: false,
  };
  const phrases = phrasesOf(data.terms);
  const state = { family: -1, shown: AT_FIRST, open: -1, hits: [], named: -1 };

  // What is remembered

  function kept(name) {
    try {
      return localStorage.getItem(`gaugeleaf.find.${name}`);
    } catch (refused) {
      return null; // a browser may refuse storage to pages from a disk
    }
  }

  function keep(name, value) {
    try {
      localStorage.setItem(`gaugeleaf.find.${name}`, value);
    } catch (refused) {
      // then the choice lasts for this page only
    }
  }

  let addressTimer = 0;

  /** Put the query into the address once typing rests, so that the page can be linked to and gone back to. */
  function keepAddress() {
    clearTimeout(addressTimer);
    addressTimer = setTimeout(() => {
      const said = new URLSearchParams();
      if (box.value.trim()) said.set("q", box.value.trim());
      if (state.family >= 0) said.set("engine", data.families[state.family][0]);
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
    if (said.has("engine")) chooseEngine(said.get("engine"));
    if (said.has("units")) chooseUnits(said.get("units") === "metric");
  }

  function chooseEngine(id) {
    state.family = data.families.findIndex((family) => family[0] === id);
    engine.value = state.family < 0 ? "" : id;
  }

  function chooseUnits(metric) {
    view.metric = metric;
    byId(metric ? "find-metric" : "find-inch").checked = true;
  }

  // Words

  /** Every phrase of the terms, folded, with the terms that it stands for. */
  function phrasesOf(terms) {
    const found = new Map();
    for (const term of terms) {
      for (const [phrase, saying] of Object.entries(term[3])) {
        if (!found.has(phrase)) found.set(phrase, []);
        found.get(phrase).push([term, saying]);
      }
    }
    return found;
  }

  /** What the glossary says of the words typed, where they are a word of the trade. */
  function showTerms() {
    const found = (phrases.get(telling(box.value).join(" ")) || []).slice(0, 2);
    byId("find-terms").replaceChildren(
      ...found.map(([[name, meaning, href], saying]) =>
        make(
          "p",
          "gl-note gl-find-term",
          link(href, name),
          SAYINGS[saying] ? ` (“${box.value.trim()}” is ${SAYINGS[saying]})` : "",
          `: ${meaning}`,
        ),
      ),
    );
  }

  function counted(number) {
    return number === 1 ? "1 answer" : `${number} answers`;
  }

  function familyName() {
    const family = chosen();
    return family < 0 ? "" : data.families[family][1];
  }

  let sayTimer = 0;

  /** Say the count at once on the page, and to a screen reader once typing rests. */
  function say(text, spoken) {
    byId("find-count").textContent = text;
    clearTimeout(sayTimer);
    sayTimer = setTimeout(() => (byId("find-said").textContent = spoken), SAID_AFTER);
  }

  // Hits

  /** The family whose rows are shown: the one chosen, or else the one that the query names. */
  function chosen() {
    return state.family >= 0 ? state.family : state.named;
  }

  function isOpen(subject) {
    return subject === state.open;
  }

  /** The values of a closed hit, family by family. */
  function briefs(subject, family) {
    const rows = view.rows.of(subject, family, BRIEFS);
    const rest = view.rows.count(subject, family) - rows.length;
    const many = rows.length > 1;
    const lines = rows.map((row) =>
      make("span", "gl-find-brief", many ? make("span", "gl-find-engine", view.families[row.family][1]) : "", brief(view, row)),
    );
    if (rest > 0) lines.push(make("span", "gl-find-brief", `and ${rest} more engines`));
    return make("span", "gl-find-briefs", lines);
  }

  function hitView(subject) {
    const family = chosen();
    const [first] = view.rows.of(subject, family, 1);
    const open = isOpen(subject);
    const button = make(
      "button",
      "gl-find-hit-button",
      make("span", "gl-find-name", first.title, " ", first.code && make("span", "gl-code", first.code)),
      open ? null : briefs(subject, family),
    );
    button.type = "button";
    button.dataset.subject = subject;
    button.setAttribute("aria-expanded", String(open));
    return make(
      "li",
      open ? "gl-find-hit gl-find-open" : "gl-find-hit",
      make("h2", "gl-find-heading", button),
      open ? answer(view, subject, family) : null,
    );
  }

  function nothingView(query) {
    const elsewhere = chosen() >= 0 ? rank(index, query, -1).hits : [];
    const text = chosen() >= 0 ? `Nothing for “${query}” in the tables of ${familyName()}.` : `Nothing for “${query}”.`;
    const all = make("button", "gl-button", `Show ${counted(elsewhere.length)} of other engines`);
    all.type = "button";
    all.dataset.all = "";
    return make(
      "li",
      "gl-find-nothing",
      make("p", "", text),
      elsewhere.length ? all : make("p", "", "Try fewer letters, another word for it, or its code."),
    );
  }

  function moreButton() {
    const rest = Math.min(state.hits.length - state.shown, MORE);
    const button = make("button", "gl-button gl-find-next", `Show ${rest} more`);
    button.type = "button";
    button.dataset.more = "";
    return make("li", "gl-find-more-hits", button);
  }

  function showHits() {
    const query = box.value.trim();
    const shown = state.hits.slice(0, state.shown);
    const items = shown.map(hitView);
    if (!items.length) items.push(nothingView(query));
    if (state.hits.length > shown.length) items.push(moreButton());
    results.replaceChildren(...items);
    results.classList.toggle("gl-find-idle", !query);
  }

  function summary() {
    if (!box.value.trim()) return "Most wanted, from the wall card";
    const unmatched = state.unmatched && state.hits.length ? "; not every word is matched" : "";
    const where = state.named >= 0 && state.family < 0 ? `, ${familyName()} only` : "";
    return counted(state.hits.length) + where + unmatched;
  }

  /** What a screen reader is told: the count, and the first value. */
  function spoken() {
    const [subject] = state.hits;
    if (subject === undefined || !box.value.trim()) return summary();
    const rows = view.rows.of(subject, chosen(), BRIEFS);
    const values = rows.map((row) => {
      const value = row.values.find((each) => each.decides) || row.values[0];
      const kind = value && value.kind ? `, ${view.kinds[value.kind][0]}` : "";
      const said = value ? plain(turned(value, view.metric).main) + kind : "nothing published";
      return `${view.families[row.family][1]} ${said}`;
    });
    return `${summary()}. First: ${rows[0].title}, ${values.join("; ")}`;
  }

  /** The characteristics of the wall card that the chosen family has. */
  function wall() {
    return data.wall.filter((subject) => view.rows.count(subject, state.family));
  }

  /** Rank for what stands in the box and show it. */
  function look() {
    const query = box.value.trim();
    if (query) {
      const ranking = rank(index, query, state.family);
      Object.assign(state, { named: ranking.family, unmatched: ranking.unmatched });
      state.hits = ranking.hits.map((hit) => hit.subject);
    } else {
      Object.assign(state, { named: -1, unmatched: 0, hits: wall() });
    }
    state.shown = query ? AT_FIRST : MORE;
    state.open = query && state.hits.length ? state.hits[0] : -1;
    showTerms();
    showHits();
    say(summary(), spoken());
    byId("find-clear").hidden = !box.value;
    keepAddress();
  }

  function open(subject) {
    state.open = isOpen(subject) ? -1 : subject;
    showHits();
    focusHit(subject);
  }

  /** Show a characteristic that another one follows from, as if its name had been typed. */
  function goTo(subject) {
    const [row] = view.rows.of(subject, chosen(), 1);
    box.value = row.code || row.title;
    look();
    if (state.hits.includes(subject)) state.open = subject;
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
      if (state.hits.length) focusHit(state.hits[0]);
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
      const first = state.hits[state.shown];
      state.shown += MORE;
      showHits();
      focusHit(first);
    } else if ("all" in button.dataset) {
      chooseEngine("");
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
      chooseEngine(engine.value);
      keep("engine", engine.value);
      look();
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

  chooseEngine(kept("engine") || "");
  chooseUnits(kept("units") === "metric");
  readAddress();
  listen();
  look();
  if (matchMedia("(pointer: fine)").matches && !location.hash) box.focus();
})();
