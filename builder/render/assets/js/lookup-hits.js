/**
 * The list of hits: the open one with its answer, the closed ones with their values in a line.
 *
 * @typedef {{query: string, family: number, hits: Int32Array, shown: number, open: number, unmatched: number,
 *   elsewhere: number}} Found   what a query found: subjects by number; `elsewhere` counts what other families have
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { make, brief, answer, inForce, plain, turned } = Gaugeleaf.lookupAnswer;
  const BRIEFS = 3;
  const MORE = 24;

  function counted(number) {
    return number === 1 ? "1 answer" : `${number} answers`;
  }

  /** A button that does what its `data-` word says. @returns {HTMLButtonElement} */
  function button(look, word, value, ...content) {
    const made = make("button", look, ...content);
    made.type = "button";
    made.dataset[word] = value;
    return made;
  }

  function familyName(view, family) {
    return family < 0 ? "" : view.families[family][1];
  }

  /** The values of a closed hit, family by family. */
  function briefs(view, subject, family) {
    const rows = view.rows.of(subject, family, BRIEFS);
    const rest = view.rows.count(subject, family) - rows.length;
    const name = (row) => (rows.length > 1 ? make("span", "gl-find-engine", view.families[row.family][2], " ") : "");
    const lines = rows.map((row) => make("span", "gl-find-brief", name(row), brief(view, row)));
    if (rest > 0) lines.push(make("span", "gl-find-brief gl-find-remark", `and ${rest} more engines`));
    return make("span", "gl-find-briefs", lines);
  }

  function hit(view, found, subject) {
    const [first] = view.rows.of(subject, found.family, 1);
    const open = subject === found.open;
    const code = first.code && make("span", "gl-code", first.code);
    const name = make("span", "gl-find-name", first.title, " ", code);
    const head = button("gl-find-hit-button", "subject", subject, name, open ? null : briefs(view, subject, found.family));
    head.setAttribute("aria-expanded", String(open));
    return make(
      "li",
      open ? "gl-find-hit gl-find-open" : "gl-find-hit",
      make("h2", "gl-find-heading", head),
      open ? answer(view, subject, found.family) : null,
    );
  }

  /** What other families have that the chosen one has not. */
  function elsewhereButton(found) {
    return button("gl-button", "all", "", `Show ${counted(found.elsewhere)} of other engines`);
  }

  function nothing(view, found) {
    const where = found.family < 0 ? "" : ` in the tables of ${familyName(view, found.family)}`;
    return make(
      "li",
      "gl-find-nothing",
      make("p", "", `Nothing for “${found.query}”${where}.`),
      found.elsewhere ? elsewhereButton(found) : make("p", "", "Try fewer letters, another word for it, or its code."),
    );
  }

  /** What stands before hits that match a part of the query only: nothing large, so that nobody takes one for it. */
  function nearest(view, found) {
    const where = found.family < 0 ? "" : ` in the tables of ${familyName(view, found.family)}`;
    const text = `Nothing matches all of “${found.query}”${where}. The nearest:`;
    return make("li", "gl-find-nothing", make("p", "", text), found.elsewhere ? elsewhereButton(found) : null);
  }

  /** What a hit looks like: equal keys, equal looks. */
  function keyOf(view, found, subject) {
    return `${subject} ${found.family} ${view.metric} ${subject === found.open} ${view.chosen.turn}`;
  }

  /** The items of the list by what they look like; those of `before` that look the same are taken from there. */
  function list(view, found, before) {
    const items = new Map();
    const hits = found.hits.subarray(0, found.shown);
    const rest = found.hits.length - hits.length;
    if (!hits.length) items.set("nothing", nothing(view, found));
    else if (found.unmatched) items.set("nearest", nearest(view, found));
    for (const subject of hits) {
      const key = keyOf(view, found, subject);
      items.set(key, before.get(key) || hit(view, found, subject));
    }
    if (rest) {
      const next = button("gl-button gl-find-next", "more", "", `Show ${Math.min(rest, MORE)} more`);
      items.set("more", make("li", "gl-find-more-hits", next));
    }
    return items;
  }

  /** The count of hits in words. @returns {string} */
  function summary(view, found, named) {
    if (!found.query) return "Most wanted, from the wall card";
    const nearby = found.unmatched && found.hits.length ? ", none to every word" : "";
    return counted(found.hits.length) + (named ? `, ${familyName(view, found.family)} only` : "") + nearby;
  }

  /** What a screen reader is told beyond the count: the first hit and its values. @returns {string} */
  function spoken(view, found) {
    const [subject] = found.hits;
    if (subject === undefined || !found.query) return "";
    const rows = view.rows.of(subject, found.family, BRIEFS);
    const values = rows.map((row) => {
      const value = inForce(row);
      const kind = value && value.kind ? `, ${view.kinds[value.kind][0]}` : "";
      const said = value ? plain(turned(value, view.metric).main) + kind : "nothing published";
      return `${familyName(view, row.family)} ${said}`;
    });
    return `. First: ${rows[0].title}, ${values.join("; ")}`;
  }

  Gaugeleaf.lookupHits = { MORE, list, summary, spoken };
})();
