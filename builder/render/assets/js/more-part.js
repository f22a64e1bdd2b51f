/**
 * What a step may say beside its readings: remarks, photos by file name, and what is not done, with the reason. The
 * fields are laid out when somebody asks for them; what is written down stands under the step.
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { element, say } = Gaugeleaf.view;
  const { position } = Gaugeleaf.taken;
  const record = Gaugeleaf.record;
  const SIDES_OF_ONE_THING = new Set(["plane", "axis", "point"]);
  const EVERYTHING = "";

  class MorePart {
    constructor(page, part) {
      Object.assign(this, { page, part, step: part.step.id });
      this.root = part.root.querySelector("[data-more]");
      this.told = part.root.querySelector("[data-told-here]");
      this.root.addEventListener("toggle", () => this.layOut());
      this.root.addEventListener("click", (event) => this.onClick(event.target));
      this.told.addEventListener("click", (event) => this.onTakeBack(event.target));
    }

    /** A field of the laid out form. */
    field(name) {
      return this.root.querySelector(`[data-${name}]`);
    }

    /** Lay the fields out, once. */
    layOut() {
      if (!this.root.open || this.field("remark")) return;
      this.root.append(document.getElementById("gl-more").content.cloneNode(true));
      const names = [...this.part.step.grids, ...this.part.step.looks].map(({ name }) => name);
      const named = (name) => new Option(this.titleOf(name), name);
      this.field("skip-name").replaceChildren(new Option("everything in this step", EVERYTHING), ...names.map(named));
      const places = this.places().map((at) => new Option(position(at), JSON.stringify(at)));
      this.field("skip-at").replaceChildren(new Option("everywhere", "{}"), ...places);
    }

    /** What a measurement or something looked at is called on the page. */
    titleOf(name) {
      const grid = this.part.root.querySelector(`[data-grid="${CSS.escape(name)}"] .gl-measure-title`);
      const look = this.part.root.querySelector(`[data-look="${CSS.escape(name)}"] legend`);
      return (grid || look).textContent.trim();
    }

    /** The things that the step measures or looks at, each as a position: main 1, main 2, … */
    places() {
      const blanks = this.part.grids.flatMap((grid) => grid.blanks);
      const found = [...blanks, ...this.part.lookPlaces()].map(({ at }) =>
        Object.fromEntries(Object.entries(at).filter(([side]) => !SIDES_OF_ONE_THING.has(side))));
      const texts = new Set(found.map((at) => JSON.stringify(at)));
      return [...texts].map((text) => JSON.parse(text)).filter((at) => Object.keys(at).length);
    }

    onClick(target) {
      const acts = { addRemark: () => this.addRemark(), addPhoto: () => this.addPhoto(), addSkip: () => this.addSkip() };
      const name = Object.keys(acts).find((act) => target.dataset[act] !== undefined);
      if (name) acts[name]();
    }

    /** Take what a field holds, or go there when it is empty. */
    taken(field) {
      const text = field.value.trim();
      if (text) field.value = "";
      else field.focus();
      return text;
    }

    addRemark() {
      const { record: now, by } = this.page;
      const text = this.taken(this.field("remark"));
      if (text) this.page.write(record.remark(now, this.step, text, by, this.page.now()));
    }

    /** A photo: the name of the picture that was chosen, or that was typed. */
    addPhoto() {
      const { record: now, by } = this.page;
      const picture = this.field("picture");
      const file = picture.files.length ? picture.files[0].name : "";
      if (!file) return picture.focus();
      const caption = this.field("caption").value.trim();
      picture.value = "";
      this.field("caption").value = "";
      return this.page.write(record.photo(now, this.step, file, caption, by, this.page.now()));
    }

    addSkip() {
      const { record: now, by } = this.page;
      if (!this.page.isProved()) return this.page.tell(`${by} is an apprentice here. A builder decides what is left out.`);
      const reason = this.taken(this.field("reason"));
      if (!reason) return undefined;
      const at = JSON.parse(this.field("skip-at").value);
      const place = { step: this.step, name: this.field("skip-name").value, at };
      return this.page.write(record.skip(now, place, reason, by, this.page.now()));
    }

    /** Take an entry back; the words of a remark stand in the field again. */
    onTakeBack(target) {
      if (target.dataset.list === undefined) return;
      const { list, number } = target.dataset;
      const entry = this.mine(list)[Number(number)];
      this.page.write(record.takeBack(this.page.record, list, entry));
    }

    /** The entries of a list that are of this step. */
    mine(list) {
      return this.page.record[list].filter((one) => one.step === this.step);
    }

    /** Show what is written down. */
    show() {
      const lines = [
        ...this.mine("skipped").map((one, number) => this.line("skipped", number, this.skipWords(one), one)),
        ...this.mine("notes").map((one, number) => this.line("notes", number, `Remark: ${one.text}`, one)),
        ...this.mine("photos").map((one, number) => this.line("photos", number, this.photoWords(one), one)),
      ];
      this.told.hidden = !lines.length;
      this.told.replaceChildren(...lines);
    }

    skipWords(one) {
      const what = one.name ? this.titleOf(one.name) : "";
      const where = [what, position(one.at)].filter(Boolean).join(", ");
      return `Not done${where ? ` (${where})` : ""}, because: ${one.reason}`;
    }

    photoWords(one) {
      return `Photo ${one.file}${one.caption ? `: ${one.caption}` : ""}`;
    }

    /** One entry in a line, with the button that takes it back. */
    line(list, number, words, { by, when }) {
      const signed = [by, when && this.page.day(when)].filter(Boolean).join(", ");
      const button = element("button", { type: "button", class: "gl-button", "data-list": list, "data-number": number });
      say(button, "Take back");
      return element("li", {}, element("span", {}, `${words} `, element("small", {}, signed)), button);
    }
  }

  Gaugeleaf.MorePart = MorePart;
})();
