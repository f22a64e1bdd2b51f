/**
 * A worksheet's page: every keystroke works the whole sheet out. Nothing is remembered and nothing is sent.
 * Needs `worksheet.js` and the units that all pages share.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { inPlace, plain, resultText, worker } = Gaugeleaf.worksheet;
  const SAID_AFTER = 700;

  const byId = (id) => document.getElementById(id);
  const sheet = JSON.parse(byId("worksheet-data").textContent);
  const sums = worker(Gaugeleaf.shared);
  const form = byId("worksheet");
  const answer = byId("answer");
  const inputs = sheet.inputs.map((own) => ({
    own, box: byId(`in-${own.name}`), unit: byId(`unit-${own.name}`), why: byId(`why-${own.name}`),
  }));
  const steps = sheet.lines.map((line) => document.querySelector(`[data-step="${line.name}"]`));
  let saying = 0;

  /** The worksheet with the units that are chosen for bare numbers; a bare default keeps its own. */
  function chosen() {
    return { ...sheet, inputs: inputs.map(({ own, unit }) => (unit ? inUnit(own, unit.value) : own)) };
  }

  /** An input read in another unit. */
  function inUnit(own, unit) {
    const bareDefault = unit !== own.unit && /[0-9½¼¾]$/u.test(own.default);
    return { ...own, unit, default: bareDefault ? `${own.default} ${own.unit}` : own.default };
  }

  /** What stands in the boxes. */
  function typed() {
    return Object.fromEntries(inputs.map(({ own, box }) => [own.name, box.value]));
  }

  /** Whether a refusal is worth saying: what is not typed yet is no mistake. */
  function showInput(input, entry) {
    const wrong = Boolean(entry.why && entry.typed);
    const about = input.why.dataset.about;
    input.box.toggleAttribute("aria-invalid", wrong);
    if (wrong) input.box.setAttribute("aria-invalid", "true");
    input.why.toggleAttribute("data-wrong", wrong);
    const said = entry.why.replace(/^`[^`]*`: /u, "");
    input.why.textContent = wrong ? bare(entry.hint ? `${said}: ${entry.hint}` : said) : about;
  }

  /** A sentence without its backticks, names in it as words. */
  function bare(text) {
    return text.replace(/`([a-z][a-z0-9_]*)`/gu, (_, name) => plain(name)).replace(/`/gu, "");
  }

  /** One step: the numbers in its formula, and what comes out. */
  function showStep(place, line, values) {
    const [numbers, value] = [steps[place].querySelector("[data-numbers]"), steps[place].querySelector("[data-value]")];
    value.toggleAttribute("data-wanting", line.value === null);
    value.textContent = line.value === null ? bare(line.why) : `= ${resultText(line)}`;
    numbers.hidden = line.value === null;
    if (line.value === null) return;
    const copy = steps[place].querySelector("[data-formula]").cloneNode(true);
    for (const name of copy.querySelectorAll("var[data-name]")) {
      name.textContent = kept(inPlace([name.dataset.name, name.dataset.raised && "^"], values.get(name.dataset.name)));
    }
    numbers.replaceChildren("= ", ...copy.childNodes);
  }

  /** A value whose lines break after commas only, not between a number and its unit. */
  function kept(value) {
    return value.replace(/(?<!,) /gu, "\u00a0");
  }

  /** The answer, large; said aloud once typing rests. */
  function showAnswer(line) {
    const wanting = line.value === null;
    answer.parentElement.toggleAttribute("data-wanting", wanting);
    answer.textContent = wanting ? bare(line.why) : line.text;
    byId("answer-partner").textContent = line.partner;
    clearTimeout(saying);
    saying = setTimeout(() => { byId("said").textContent = answer.textContent; }, SAID_AFTER);
  }

  /** Work everything out and show it. */
  function show() {
    const now = chosen();
    const worked = sums.work(now, typed());
    const values = new Map();
    worked.entries.forEach((entry, place) => {
      showInput(inputs[place], entry);
      if (!entry.why) values.set(entry.name, sums.valueText(entry));
    });
    worked.lines.forEach((line, place) => {
      showStep(place, line, values);
      values.set(line.name, line.text);
    });
    showAnswer(worked.lines[worked.lines.length - 1]);
    byId("rounded").hidden = !worked.lines.some((line) => line.approximate);
    byId("text").textContent = sums.lines(now, worked).join("\n");
    byId("copied").textContent = "";
  }

  /** Put texts into the boxes, a unit at their end into the choice beside it. */
  function fill(texts) {
    for (const { own, box, unit } of inputs) {
      const text = texts[own.name] || "";
      const [number, symbol] = split(text, unit);
      box.value = number;
      if (unit) unit.value = symbol || own.unit;
    }
    show();
  }

  /** A text without the unit at its end, and that unit, where it can be chosen. */
  function split(text, unit) {
    const found = /^(.*[0-9½¼¾]) *([^0-9]+)$/u.exec(text);
    const offered = found && unit && [...unit.options].some((option) => option.value === found[2]);
    return offered ? [found[1], found[2]] : [text, ""];
  }

  /** Copy the text; where the browser does not let a page do it, select it for the hand. */
  async function copy() {
    const text = byId("text");
    try {
      await navigator.clipboard.writeText(text.textContent);
      byId("copied").textContent = "copied";
    } catch (refused) {
      text.parentElement.open = true;
      getSelection().selectAllChildren(text);
      byId("copied").textContent = "marked: copy it by hand";
    }
  }

  form.addEventListener("input", show);
  form.addEventListener("submit", (event) => event.preventDefault());
  byId("example").addEventListener("click", () => fill(sheet.example));
  byId("clear").addEventListener("click", () => fill({}));
  byId("copy").addEventListener("click", copy);
  fill({});
})();
