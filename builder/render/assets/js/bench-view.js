/**
 * How a checklist page shows what the judge says: values, verdict words, flags, limit bars, limits moved by a size
 * step. It draws and decides nothing; needs `exact.js`, `reading.js` and `verdict.js`.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const exact = Gaugeleaf.exact;
  const { inUnit, showNumber } = Gaugeleaf.reading;
  const SVG = "http://www.w3.org/2000/svg";
  const WIDTH = 240;
  const HEIGHT = 46;
  const EDGE = 14;

  /** An element with attributes and children; a text child is text. */
  function element(name, attributes = {}, ...children) {
    const made = document.createElement(name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    made.append(...children);
    return made;
  }

  /** An SVG element. */
  function shape(name, attributes, text = "") {
    const made = document.createElementNS(SVG, name);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    if (text) made.textContent = text;
    return made;
  }

  /** Set an element's text only where it differs. */
  function say(target, text) {
    if (target.textContent !== text) target.textContent = text;
  }

  /** Words with the backticks of messages taken for quotation marks. */
  function quoted(text) {
    return text.replace(/`([^`]*)`/gu, "“$1”");
  }

  /** Numbers with their units in words, by the data that all checklists share. */
  class Figures {
    constructor(shared, reader) {
      this.shared = shared;
      this.reader = reader;
    }

    /** A unit as a page prints it. */
    label(symbol) {
      if (symbol === "count") return "";
      return this.shared.labels[symbol] || symbol;
    }

    /** A value in base units as digits of a unit; one more digit where it would round onto another value. */
    digits(value, symbol, decimals) {
      const own = inUnit(value, this.reader.unit(symbol));
      const fits = 10n ** BigInt(decimals) % own.d === 0n;
      return showNumber(own, fits ? decimals : decimals + 1);
    }

    /** A value with its unit. */
    value(value, symbol, decimals) {
      return symbol ? `${this.digits(value, symbol, decimals)} ${this.label(symbol)}`.trim() : exact.toText(value);
    }

    /** A band in words: `2.6135 to 2.6140 in`, `0.0040 in max`. */
    band(band, symbol, decimals) {
      const unit = this.label(symbol);
      const said = (bound) => this.digits(bound, symbol, decimals);
      if (band.low === null) return `${said(band.high)} ${unit} max`;
      if (band.high === null) return `${said(band.low)} ${unit} min`;
      return `${said(band.low)} to ${said(band.high)} ${unit}`;
    }

    /** A band in the other system, rounded inward so that it is never wider; empty where there is none. */
    partnerBand(band, symbol, decimals) {
      const partner = this.shared.partners[symbol];
      if (!partner) return "";
      const own = this.reader.unit(partner);
      const low = band.low === null ? null : inward(inUnit(band.low, own), decimals, 1n);
      const high = band.high === null ? null : inward(inUnit(band.high, own), decimals, 0n);
      if (low !== null && high !== null && exact.compare(low, high) > 0) return "";
      const unit = this.label(partner);
      if (low === null) return `${showNumber(high, decimals)} ${unit} max`;
      if (high === null) return `${showNumber(low, decimals)} ${unit} min`;
      return `${showNumber(low, decimals)} to ${showNumber(high, decimals)} ${unit}`;
    }

    /** A value in both systems: `0.0018 in (0.046 mm)`. */
    both(value, symbol, decimals) {
      const partner = this.shared.partners[symbol];
      const own = this.value(value, symbol, decimals);
      if (!partner) return own;
      const factor = exact.divide(this.reader.unit(symbol).factor, this.reader.unit(partner).factor);
      const fewer = exact.compare(factor, exact.whole(10n)) >= 0 ? 1 : 0;
      const other = inUnit(value, this.reader.unit(partner));
      return `${own} (${showNumber(other, Math.max(decimals - fewer, 0))} ${this.label(partner)})`;
    }

    /** The digits that every value inside a band begins with, the rest as lines to write on: `2.61__`. */
    leading(band, symbol, decimals) {
      if (!symbol || !band || band.high === null) return "";
      const high = showNumber(inUnit(band.high, this.reader.unit(symbol)), decimals);
      const low = band.low === null ? showNumber(exact.ZERO, decimals) : this.digits(band.low, symbol, decimals);
      let same = 0;
      while (same < high.length && high[same] === low[same]) same += 1;
      const begun = high.slice(0, same);
      return begun.includes(".") && low.length === high.length ? begun.padEnd(high.length, "_") : "";
    }
  }

  /** A rational with so many decimals, rounded down or (`up` 1) up. */
  function inward(value, decimals, up) {
    const ten = 10n ** BigInt(decimals);
    const scaled = exact.multiply(value, exact.whole(ten));
    const down = exact.floorDivide(scaled.n, scaled.d);
    const whole = up && scaled.d !== 1n ? down + 1n : down;
    return exact.make(whole, ten);
  }

  /** A verdict as a mark with its word. */
  function verdictMark(verdict) {
    return element("span", { class: "gl-verdict", "data-verdict": verdict.replace(" ", "-") }, verdict);
  }

  /** A flag as a mark with its word. */
  function flagMark(flag) {
    return element("span", { class: "gl-flag", "data-flag": flag.replaceAll(" ", "-") }, flag);
  }

  /** A rational as an ordinary number, for drawing only. */
  function rough(value) {
    return Number(showNumber(value, 12));
  }

  /** Where the ends of a limit bar stand, in base units: the band with as much room again on either side. */
  function stretch(limits) {
    const bounds = [limits.inForce, limits.wear].flatMap((band) => (band ? [band.low, band.high] : []));
    const known = bounds.filter((bound) => bound !== null).map(rough);
    const open = limits.inForce || limits.wear;
    if (open.low === null) known.push(Math.min(0, ...known));
    if (open.high === null) known.push(Math.max(...known) * 1.5);
    const [low, high] = [Math.min(...known), Math.max(...known)];
    const room = (high - low || Math.abs(high) || 1) * 0.3;
    return [low - room, high + room];
  }

  /**
   * A limit bar: the band, the aim and the wear limit inside and beyond it, and a mark for each value.
   * @param {Limits} limits @param {Rational[]} values @param {string} said all of it in words
   */
  function limitBar(limits, values, said) {
    const size = { viewBox: `0 0 ${WIDTH} ${HEIGHT}`, width: WIDTH, height: HEIGHT };
    const svg = shape("svg", { class: "gl-limitbar", role: "img", "aria-label": said, ...size });
    const [from, to] = stretch(limits);
    const place = (number) => EDGE + ((number - from) / (to - from)) * (WIDTH - 2 * EDGE);
    const held = (number) => Math.min(Math.max(place(number), 4), WIDTH - 4);
    const box = (band, look, top, height) => {
      const left = band.low === null ? 0 : place(rough(band.low));
      const right = band.high === null ? WIDTH : place(rough(band.high));
      svg.append(shape("rect", { class: look, x: left, y: top, width: Math.max(right - left, 1), height }));
    };
    if (limits.wear) box(limits.wear, "gl-limitbar-wear", 20, 20);
    if (limits.inForce) box(limits.inForce, "gl-limitbar-band", 18, 24);
    if (limits.aim) box(limits.aim, "gl-limitbar-aim", 37, 5);
    svg.append(shape("line", { class: "gl-limitbar-axis", x1: 0, x2: WIDTH, y1: 30, y2: 30 }));
    for (const value of values) {
      svg.append(shape("path", { class: "gl-limitbar-reading", d: `m${held(rough(value))} 20-7-16h14z` }));
    }
    return svg;
  }

  Gaugeleaf.view = Object.freeze({ Figures, element, say, quoted, verdictMark, flagMark, limitBar });
})();
