/**
 * What an answer looks like: pieces of the page made from rows. Every word goes in as text, never as markup.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const MOST_IN_FULL = 3;
  const MOST_IN_LINES = 24;

  /** An element with its class and its children; empty children are left out. @returns {HTMLElement} */
  function make(tag, look, ...children) {
    const element = document.createElement(tag);
    if (look) element.className = look;
    element.append(...children.flat().filter((child) => child !== null && child !== ""));
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
    const long = shown.number.length > 18;
    return joined(
      [
        make("span", long ? "gl-number gl-long" : "gl-number", shown.number),
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
    return make("p", "gl-value-partner", main === value.partner ? "printed as " : "", measure(other));
  }

  /** A value that decides: large. */
  function mainValue(view, value) {
    const { main } = turned(value, view.metric);
    const wordy = main.number.length > 24 && !main.unit;
    return make(
      "div",
      "gl-find-value",
      value.place && make("p", "gl-find-place", value.place),
      make("p", wordy ? "gl-value-main gl-find-wordy" : "gl-value-main", measure(main)),
      partnerLine(value, view.metric),
    );
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
      make("span", "gl-find-remark", " ", value.remark || view.kinds[value.kind]?.[1] || ""),
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
    const kind = first.length && first[0].kind;
    const stages = first.length > 1;
    return [
      row.unknown && make("p", "gl-value-main gl-find-wordy", "Nothing published"),
      row.unknown && make("p", "gl-find-unknown", row.unknown),
      kind ? make("p", "gl-value-kind", kindMark(view, kind), " ", make("span", "gl-find-remark", view.kinds[kind][1])) : null,
      make("div", stages ? "gl-find-values gl-find-several" : "gl-find-values", first.map((value) => mainValue(view, value))),
      others.length ? make("ul", "gl-find-sides", others.map((value) => sideValue(view, value))) : null,
      row.condition && make("p", "gl-value-condition", row.condition),
      sourceList(row.values),
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

  function remedy(found) {
    const then = found.then ? [" Then go on from ", link(found.then.href, `step ${found.then.number}`), "."] : " Then stop.";
    return [make("strong", "", `${found.side}: `), found.text, then, " ", make("span", "gl-find-where", stepLink(found.step))];
  }

  function mate(view, row, subject) {
    const found = view.rows.of(subject, row.family, 1)[0];
    const value = found.values[0];
    const button = make("button", "gl-find-mate", found.title);
    button.type = "button";
    button.dataset.subject = subject;
    return [button, value ? [": ", measure(turned(value, view.metric).main)] : ""];
  }

  function sizes(view, row) {
    const lines = row.sizes.map((size) => {
      const { main, other } = turned(size, view.metric);
      return make(
        "tr",
        "",
        make("th", "", size.step),
        make("td", "gl-num", measure(main)),
        make("td", "gl-num", other ? measure(other) : ""),
      );
    });
    lines.forEach((line) => line.firstChild.setAttribute("scope", "row"));
    return make("table", "gl-table gl-find-sizes", make("tbody", "", lines));
  }

  /** How a row is read, what it follows from, what to do when it is out. @returns {HTMLElement} */
  function facts(view, row) {
    const read = row.read_in.length ? row.read_in : row.named_in;
    return make(
      "dl",
      "gl-facts",
      row.remedies.length ? fact("If out", list(row.remedies.map(remedy))) : null,
      row.sizes.length ? fact("At a job's size", sizes(view, row)) : null,
      row.instrument ? fact("Instrument", row.instrument.href ? link(row.instrument.href, row.instrument.text) : row.instrument.text) : null,
      read.length ? fact(row.read_in.length ? "Read in" : "Used in", list(read.map(stepLink))) : null,
      row.mates.length
        ? fact("Follows from", row.follows, list(row.mates.map((subject) => mate(view, row, subject))))
        : null,
      row.why && fact("Why", row.why),
      row.facts.length ? fact("Note", list(row.facts)) : null,
    );
  }

  function tableLink(view, row) {
    const [, , specs] = view.families[row.family];
    return make("p", "gl-find-table", link(`${specs}#${encodeURIComponent(view.name)}`, "Its row in the spec tables"));
  }

  /** One family's row in full; what it is read with and what to do stay folded where several stand together. */
  function familyBlock(view, row, open) {
    const more = make("details", "gl-find-more", make("summary", "", "How to read it, and if it is out"), facts(view, row));
    more.open = open;
    const title = view.families[row.family][1];
    const block = make(
      "section",
      "gl-value gl-find-family",
      make("h3", "gl-value-title", make("span", "gl-visually-hidden", "Engine: "), title),
      values(view, row),
      more,
      tableLink(view, row),
    );
    return block;
  }

  /** Families beyond those in full, a line each. */
  function familyLine(view, row) {
    return make("li", "", make("strong", "", view.families[row.family][1]), ": ", brief(view, row));
  }

  /** The value in force in a few words. */
  function brief(view, row) {
    const value = row.values.find((each) => each.decides) || row.values[0];
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
      make("div", "gl-find-families", full.map((row) => familyBlock(named, row, count === 1))),
      lines.length ? make("ul", "gl-find-lines", lines.map((row) => familyLine(named, row))) : null,
      rest > 0 ? make("p", "gl-find-remark", `And ${rest} more engines: choose one above.`) : null,
    );
  }

  Gaugeleaf.lookupAnswer = { make, link, measure, turned, plain, brief, answer };
})();
