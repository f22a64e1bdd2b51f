/** A hold on a checklist: the bar that stops the job until the named roles have signed. */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const { say } = Gaugeleaf.view;
  const signing = Gaugeleaf.signing;

  class HoldBar {
    /**
     * @param {object} page @param {object} hold of the program
     * @param {Set<string>} steps the steps up to it @param {boolean} needed whether it was signed on another sheet
     */
    constructor(page, hold, steps, needed) {
      Object.assign(this, { page, hold, steps, needed });
      this.root = document.getElementById(`hold-${hold.id}`);
      this.rows = [...this.root.querySelectorAll("[data-role]")];
      this.root.addEventListener("click", (event) => this.onSign(event.target));
    }

    /** Someone signs, or is told in words why not. */
    onSign(target) {
      if (target.dataset.sign === undefined) return;
      const row = target.closest("[data-role]");
      const by = row.querySelector("[data-signer]").value;
      const { record, job } = this.page;
      const { role } = row.dataset;
      const refused = signing.refusal(record, job, this.steps, role, by, this.page.now());
      if (refused) return this.refuse(row, refused);
      return this.page.write(signing.sign(record, this.hold.id, role, by, this.page.now()));
    }

    /** Say beside the button why it is no signature. */
    refuse(row, why) {
      const line = row.querySelector("[data-signed]");
      line.dataset.refused = "";
      say(line, why);
    }

    /** Offer the people of the job. */
    offer(people) {
      for (const select of this.root.querySelectorAll("[data-signer]")) {
        const chosen = select.value;
        const names = Object.keys(people).map((name) => new Option(name, name));
        select.replaceChildren(new Option("choose", ""), ...names);
        select.value = Object.hasOwn(people, chosen) ? chosen : "";
      }
    }

    /** The record in which the hold stands signed: this one, or another sheet of the job. */
    standing() {
      const here = this.page.record.holds.some((one) => one.hold === this.hold.id);
      const others = this.needed && !here ? this.page.otherRecords() : [];
      return others.find((one) => one.holds.some((signed) => signed.hold === this.hold.id)) || this.page.record;
    }

    /** The steps of a record that lie before it; those of another sheet are not known here. */
    stepsOf(own) {
      return own === this.page.record ? this.steps : new Set();
    }

    /** Why it is open, in words; empty when it is released. */
    open() {
      const own = this.standing();
      return signing.openHold(own, this.page.job, this.hold, this.stepsOf(own));
    }

    /** Show who signed and when, and what is still open. */
    show(open, locked) {
      const own = this.standing();
      const said = [own.holds, open, Boolean(locked)];
      if (this.said && said.every((one, index) => one === this.said[index])) return;
      this.said = said;
      for (const row of this.rows) this.showRow(row, own);
      const line = this.root.querySelector("[data-open]");
      line.hidden = !open;
      say(line, open);
      this.root.dataset.state = open ? "open" : "released";
      for (const field of this.root.querySelectorAll("select, button")) field.disabled = Boolean(locked);
    }

    showRow(row, own) {
      const signed = signing.signature(own, this.hold.id, row.dataset.role);
      const line = row.querySelector("[data-signed]");
      if (!signed && line.dataset.refused !== undefined) return;
      delete line.dataset.refused;
      const self = signed && signing.self(own, this.page.job, this.stepsOf(own), signed);
      const by = self ? `${signed.by} (${self})` : signed && signed.by;
      say(line, signed ? `Signed by ${by}, ${this.page.day(signed.when)}` : "");
    }
  }

  Gaugeleaf.HoldBar = HoldBar;
})();
