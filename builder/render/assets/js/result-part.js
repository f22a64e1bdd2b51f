/** A worked-out value on a checklist, position by position: digits, verdict, flags, limit bar, reasons. */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { element, say, verdictMark, flagMark, limitBar } = Gaugeleaf.view;
  const { position } = Gaugeleaf.taken;

  /** A worked-out value with its positions. */
  class ResultPart {
    constructor(page, root, out) {
      Object.assign(this, { page, root, out });
      this.rows = new Map([...root.querySelectorAll("[data-place]")].map((row) => [row.dataset.place, row]));
      this.reasons = element("ul", { class: "gl-reasons", hidden: "" });
      root.append(this.reasons);
    }

    /** Show the value, verdict and limit bar of every position. */
    show(judgements) {
      const places = new Map();
      for (const one of judgements) {
        const place = Object.values(one.at).join("|");
        places.set(place, [...(places.get(place) || []), one]);
      }
      for (const [place, ends] of places) this.showRow(this.row(place, ends[0].at), ends);
      Gaugeleaf.showReasons(this.reasons, judgements);
    }

    /** The row of a position; one that the page did not foresee is added. */
    row(place, at) {
      if (!this.rows.has(place)) {
        const [first] = this.rows.values();
        const made = first.cloneNode(true);
        made.dataset.place = place;
        made.dataset.shown = "";
        say(made.querySelector("th"), position(at));
        first.parentNode.append(made);
        this.rows.set(place, made);
      }
      return this.rows.get(place);
    }

    /** One position: both ends of a fit, or the one value. */
    showRow(row, ends) {
      const said = JSON.stringify(ends.map((one) => [this.figure(one), one.verdict, one.flags]));
      if (row.dataset.shown === `${this.page.sized} ${said}`) return;
      row.dataset.shown = `${this.page.sized} ${said}`;
      const alike = ends.every((one) => one.verdict === ends[0].verdict);
      const each = (one) => [element("span", { class: "gl-end-of" }, `${one.end} `, verdictMark(one.verdict)), " "];
      const marks = alike ? [verdictMark(ends[0].verdict)] : ends.flatMap(each);
      const flags = [...new Set(ends.flatMap((one) => one.flags))].flatMap((flag) => [" ", flagMark(flag)]);
      say(row.querySelector("[data-value]"), this.valueWords(ends));
      row.querySelector("[data-verdict-cell]").replaceChildren(...marks, ...flags);
      this.showBar(row, ends);
    }

    /** The digits of one end. */
    figure(one) {
      return one.value === null ? null : this.page.figures.digits(one.value, one.unit, this.out.decimals);
    }

    /** The value in words: `0.0018 to 0.0019 in`, or a dash where a reading is wanting. */
    valueWords(ends) {
      const known = ends.map((one) => this.figure(one)).filter((digits) => digits !== null);
      if (known.length < ends.length) return "–";
      return `${known.join(" to ")} ${this.page.figures.label(ends[0].unit)}`;
    }

    showBar(row, ends) {
      const limits = this.page.bench.limitsOf(this.out.against, ends[0] ? Object.values(ends[0].at) : []);
      const values = ends.map((one) => one.value).filter((value) => value !== null);
      const cell = row.querySelector("[data-bar]");
      const band = limits.inForce || limits.wear;
      if (!values.length || !band) return cell.replaceChildren();
      const limit = this.page.figures.band(band, ends[0].unit, this.out.decimals);
      return cell.replaceChildren(limitBar(limits, values, `${this.valueWords(ends)}, limit ${limit}`));
    }
  }

  Gaugeleaf.ResultPart = ResultPart;
})();
