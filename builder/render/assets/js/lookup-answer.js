/**
 * What an answer looks like: pieces of the page made from rows. Every word goes in as text, never as markup.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const MOST_IN_FULL = 3;
  const MOST_IN_LINES = 6;
  const WORDS = /[a-z]{3}/i;

  /** An element with its class and its children; empty children are left out. @returns {HTMLElement} */
  function make(tag, look, ...children) {
    const element = document.createElement(tag);
    if (look) element.className = look;
    element.append(...children.flat(Infinity).filter((child) => child !== null && child !== ""));
    return element;
  }

  /** @returns {HTMLElement} */
  function link(href, ...children) {
    const element = make("a", "", ...children);
    element.setAttribute("href", href);
    return element;
  }

  /** Pieces with a text between them. */
  function joined(pieces, between) {
    return pieces.flatMap((piece, number) => (number ? [between, piece] : [piece]));
  }

  /** The measure in the chosen system, and the other one if there is one. @returns {{main: Measure, other: Measure | null}} */
  function turned(value, metric) {
    const { shown, partner } = value;
    if (!partner || shown.metric === metric) return { main: shown, other: partner };
    return { main: partner, other: shown };
  }

  /** @returns {(HTMLElement | string)[]} */
  function measure(shown) {
    const look = WORDS.test(shown.number) ? "gl-find-words" : "gl-number";
    return joined(
      [
        make("span", shown.number.length > 18 ? `${look} gl-long` : look, shown.number),
        shown.unit && make("span", "gl-unit", shown.unit),
        shown.after && make("span", "gl-find-after", shown.after),
      ].filter(Boolean),
      " ",
    );
  }

  /** The measure in words alone. @returns {string} */
  function plain(shown) {
    return [shown.number, shown.unit, shown.after].filter(Boolean).join(" ");
  }

  function kindMark(view, kind) {
    if (!kind) return null;
    const mark = make("span", "gl-kind", view.kinds[kind][0]);
    mark.dataset.kind = kind;
    return mark;
  }

  function sources(cites) {
    return cites.length ? make("p", "gl-source", joined(cites.map((cite) => link(cite.href, cite.text)), "; ")) : null;
  }

  /** The other system under a value: the converted one, or the printed one under a converted one. */
  function partnerLine(value, metric) {
    const { main, other } = turned(value, metric);
    if (!other) return null;
    return make("p", "gl-value-partner", main === value.partner ? make("span", "gl-find-remark", "printed as ") : "", measure(other));
  }

  /** A value that decides: large. */
  function mainValue(view, value) {
    const { main } = turned(value, view.metric);
    const wordy = main.number.length > 24;
    return make(
      "div",
      "gl-find-value",
      value.place && make("p", "gl-find-place", value.place),
      make("p", wordy ? "gl-value-main gl-find-wordy" : "gl-value-main", measure(main)),
      partnerLine(value, view.metric),
    );
  }

  /** Whose limit it is, with what that means; of a job's own, by what it is so. */
  function kindLine(view, { kind, label }) {
    const means = kind === "job" ? label : view.kinds[kind]?.[1];
    return kind && make("p", "gl-value-kind", kindMark(view, kind), " ", make("span", "gl-find-remark", means));
  }

  /** A value beside the one that decides: small, its kind and what it is for in words. */
  function sideValue(view, value) {
    const { main, other } = turned(value, view.metric);
    return make(
      "li",
      "gl-find-side",
      kindMark(view, value.kind),
      " ",
      value.place && `${value.place} `,
      measure(main),
      other ? make("span", "gl-find-other", " (", plain(other), ")") : null,
      make("span", "gl-find-remark", " ", [value.kind === "job" && value.label, value.remark || view.kinds[value.kind]?.[1]].filter(Boolean).join(", ")),
    );
  }

  /** The sources of the values in force, and of the others where they differ. */
  function sourceList(values) {
    const seen = new Map();
    for (const value of values) for (const cite of value.cites) seen.set(cite.text, cite);
    return sources([...seen.values()]);
  }

  /** The values of a row: what decides large, then the others, the condition and the sources. */
  function values(view, row) {
    const large = row.values.filter((value) => value.decides || !value.kind);
    const first = large.length ? large : row.values.slice(0, 1);
    const others = row.values.filter((value) => !first.includes(value));
    const several = first.length > 1;
    return [
      row.unknown && make("p", "gl-value-main gl-find-wordy", "Nothing published"),
      row.unknown && make("p", "gl-find-unknown", row.unknown),
      make("div", several ? "gl-find-values gl-find-several" : "gl-find-values", first.map((value) => mainValue(view, value))),
      first.length ? kindLine(view, first[0]) : null,
      row.state.map((said) => make("p", "gl-value-condition", said)),
      others.length ? make("ul", "gl-find-sides", others.map((value) => sideValue(view, value))) : null,
      readings(view, row),
      row.facts.length ? make("p", "gl-find-facts", row.facts.join(" ")) : null,
      sourceList(row.values),
      readWith(row),
    ];
  }

  /** What the sheets of the chosen job hold: a table for each step that read it. */
  function readings(view, row) {
    return (row.readings || []).map((found) =>
      make(
        "table",
        "gl-table gl-find-readings",
        make("caption", "", make("strong", "", found.stage), `: ${found.name}, `, stepLink(found.step)),
        make("tbody", "", found.lines.map((line) => readingLine(view, line))),
      ),
    );
  }

  function readingLine(view, line) {
    const { main, other } = line.shown ? turned(line, view.metric) : { main: null, other: null };
    const head = make("th", "", line.where || "whole engine");
    head.setAttribute("scope", "row");
    const value = main ? [measure(main), " ", other ? make("span", "gl-find-where", measure(other)) : ""] : "no value";
    return make("tr", line.bad ? "gl-find-bad" : "", head, make("td", "gl-num", value), make("td", "", line.verdict));
  }

  /** The instrument and the steps that read a row, or else those that name it. */
  function readWith(row) {
    const steps = row.read_in.length ? row.read_in : row.named_in;
    const tool = row.instrument && (row.instrument.href ? link(row.instrument.href, row.instrument.text) : row.instrument.text);
    return [
      tool && make("p", "gl-find-tool", "Read with ", tool),
      steps.length ? make("p", "gl-find-tool", row.read_in.length ? "Read in " : "Used in ", joined(steps.map(stepLink), "; ")) : null,
    ];
  }

  function stepLink(step) {
    return link(step.href, make("span", "gl-code", step.code), ` ${step.title}, step ${step.number}`);
  }

  function fact(name, ...content) {
    return make("div", "", make("dt", "", name), make("dd", "", ...content));
  }

  function list(items) {
    return make("ul", "gl-find-list", items.map((item) => make("li", "", item)));
  }

  /** What to do when a value is out; where that is written stands under the last of the same step. */
  function remedy(found, number, all) {
    const then = found.then ? [" Then go on from ", link(found.then.href, `step ${found.then.number}`), "."] : " Then stop.";
    const last = found.step.href !== all[number + 1]?.step.href;
    const where = last ? make("span", "gl-find-where", stepLink(found.step)) : "";
    return [make("strong", "", `${found.side}: `), found.text, then, " ", where];
  }

  function mate(view, row, subject) {
    const found = view.rows.of(subject, row.family, 1)[0];
    const value = found.values[0];
    const button = make("button", "gl-find-mate", found.title);
    button.type = "button";
    button.dataset.subject = subject;
    return [button, value ? make("span", "gl-find-where", measure(turned(value, view.metric).main)) : ""];
  }

  function sizes(view, row) {
    const lines = row.sizes.map((size) => {
      const { main, other } = turned(size, view.metric);
      return make(
        "tr",
        "",
        make("th", "", size.size),
        make("td", "gl-num", measure(main), other ? make("span", "gl-find-where", measure(other)) : ""),
      );
    });
    lines.forEach((line) => line.firstChild.setAttribute("scope", "row"));
    return make("table", "gl-table gl-find-sizes", make("tbody", "", lines));
  }

  /** What to do when a row is out, its sizes, its mates, why it matters. @returns {HTMLElement[]} */
  function facts(view, row) {
    return [
      row.remedies.length ? fact("If out", list(row.remedies.map(remedy))) : null,
      row.sizes.length ? fact(`With a ${row.sizes[0].of} of`, sizes(view, row)) : null,
      row.mates.length
        ? fact("Follows from", row.follows, list(row.mates.map((subject) => mate(view, row, subject))))
        : null,
      row.why ? fact("Why", row.why) : null,
    ].filter(Boolean);
  }

  function tableLink(view, row) {
    const [, , , specs] = view.families[row.family];
    const row_link = link(`${specs}#${encodeURIComponent(view.name)}`, "Its row in the spec tables");
    const card = row.torque_card ? [" · ", link(row.torque_card, "On the torque card")] : "";
    return make("p", "gl-find-table", row_link, card);
  }

  /** One family's row in full; what to do when it is out stays folded where several families stand together. */
  function familyBlock(view, row, open) {
    return make(
      "section",
      "gl-value gl-find-family",
      make("h3", "gl-value-title", view.families[row.family][1], row.job ? `, job ${row.job}` : ""),
      values(view, row),
      row.remedies.length || row.sizes.length || row.mates.length || row.why ? fold(view, row, open) : null,
      tableLink(view, row),
    );
  }

  /** What unfolds under a row; written only when it is first unfolded, so that typing stays quick. */
  function fold(view, row, open) {
    const title = row.remedies.length ? "If it is out, and why" : "More";
    const list = make("dl", "gl-facts");
    const more = make("details", "gl-find-more", make("summary", "", title), list);
    const fill = () => list.childElementCount || list.append(...facts(view, row));
    more.addEventListener("toggle", fill);
    if (open) fill();
    more.open = open;
    return more;
  }

  /** One of many families: its value in a line, the rest unfolds under it. */
  function familyLine(view, row) {
    const value = inForce(row);
    const line = make(
      "summary",
      "gl-find-row-head",
      make("span", "gl-find-row-name", view.families[row.family][1]),
      " ",
      make("span", "gl-find-row-value", brief(view, row), " ", value && kindMark(view, value.kind)),
    );
    const more = make("details", "gl-find-row", line);
    more.addEventListener("toggle", () => more.childElementCount > 1 || more.append(familyBlock(view, row, true)));
    return make("li", "gl-find-rows-item", more);
  }

  /** The value in force, or else the first. @returns {Value | undefined} */
  function inForce(row) {
    return row.values.find((each) => each.decides) || row.values[0];
  }

  /** The value in force in a few words. */
  function brief(view, row) {
    const value = inForce(row);
    if (!value) return [make("span", "gl-find-remark", "nothing published")];
    const more = row.values.filter((each) => each.decides === value.decides && each.kind === value.kind).length - 1;
    const { main } = turned(value, view.metric);
    return [
      value.place && `${value.place} `,
      measure(main),
      more > 0 ? make("span", "gl-find-remark", ` and ${more} more`) : null,
    ];
  }

  /** A whole answer. @returns {HTMLElement} */
  function answer(view, subject, family) {
    const count = view.rows.count(subject, family);
    const rows = view.rows.of(subject, family, MOST_IN_LINES);
    const named = { ...view, name: view.subjects[subject] };
    const full = count > MOST_IN_FULL ? [] : rows;
    const lines = count > MOST_IN_FULL ? rows : [];
    const rest = count - rows.length;
    return make(
      "div",
      "gl-find-answer",
      full.length ? make("div", "gl-find-families", full.map((row) => familyBlock(named, row, count === 1))) : null,
      lines.length ? make("ul", "gl-find-rows", lines.map((row) => familyLine(named, row))) : null,
      rest > 0 ? make("p", "gl-find-remark", `And ${rest} more engines: choose one above.`) : null,
    );
  }

  Gaugeleaf.lookupAnswer = { make, link, turned, plain, brief, inForce, answer };
})();
