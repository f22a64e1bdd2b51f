/**
 * Who may sign a hold, and why a hold is open: the browser's half of `builder/jobs/checks/signers.py`; needs
 * `record.js`.
 *
 * @typedef {{id: string, code: string, by: string[], covers: boolean}} Hold
 */
(function () {
  "use strict";

  const Gaugeleaf = globalThis.Gaugeleaf;
  const record = Gaugeleaf.record;
  const SECOND = "second";
  const APART = [SECOND, "foreman"];
  const ROLES = { builder: "builder", second: "second person", foreman: "foreman", customer: "customer" };

  const moments = new WeakMap();

  /** When an entry was made, as a number; remembered for each entry. */
  function moment(one) {
    if (!moments.has(one)) moments.set(one, Date.parse(one.when));
    return moments.get(one);
  }

  /** The readings of some steps by place, each place in the order of its tries. */
  function triesIn(of, steps) {
    const places = new Map();
    for (const one of of.readings.filter(({ step }) => steps.has(step))) {
      const key = record.keyOf(one);
      places.set(key, [...(places.get(key) || []), one]);
    }
    return [...places.values()].map((tries) => [...tries].sort((one, other) => one.try - other.try));
  }

  /** Whether every reading of some steps was taken a second time, after the first set and before a moment. */
  function isReadAgain(of, steps, before) {
    const places = triesIn(of, steps);
    const firstSet = Math.max(...places.map(([first]) => moment(first)));
    return places.every((tries) => {
      const last = moment(tries[tries.length - 1]);
      return tries.length > 1 && last > firstSet && last <= before;
    });
  }

  /** Why whoever did the work may not sign in a role that stands apart; empty when they may. */
  function ownWork(of, job, steps, role, by, before) {
    const who = `${by} did the work on this sheet`;
    if (!job.shop_of_one) return `${who}. The ${ROLES[role]} must be someone else.`;
    if (role !== SECOND) return outOfRole(job, role, by);
    if (isReadAgain(of, steps, before)) return "";
    return `${who}. In a shop of one every reading is taken a second time first, after the whole first set.`;
  }

  /** Why someone does not sign in a role on this job; empty when they do. */
  function outOfRole(job, role, by) {
    const roles = ((job.people || {})[by] || {}).role || [];
    return roles.includes(role) ? "" : `${by} does not sign as ${ROLES[role] || role} on this job.`;
  }

  /** Why someone may not sign a hold in a role at a moment, in words; empty when they may. */
  function refusal(of, job, steps, role, by, when) {
    if (!by) return "Choose who signs.";
    const apart = APART.includes(role) && record.builders(of).has(by);
    return apart ? ownWork(of, job, steps, role, by, Date.parse(when)) : outOfRole(job, role, by);
  }

  /** Whether a second's signature is that of the builder, as a shop of one may do; in words, else empty. */
  function self(of, job, steps, signed) {
    const own = job.shop_of_one && signed.role === SECOND && record.builders(of).has(signed.by);
    if (!own) return "";
    return of.readings.some(({ step }) => steps.has(step)) ? "self, re-measured" : "self";
  }

  /** Sign a hold. */
  function sign(of, hold, role, by, when) {
    const others = of.holds.filter((one) => one.hold !== hold || one.role !== role);
    return { ...of, holds: [...others, { hold, role, by, when }] };
  }

  /** The signature on a hold in a role, or undefined. */
  function signature(of, hold, role) {
    return of.holds.filter((one) => one.hold === hold && one.role === role).pop();
  }

  /** The last reading of some steps that was made or changed after a time, or undefined. */
  function changedAfter(of, steps, when) {
    const signed = Date.parse(when);
    const made = of.readings.filter((one) => steps.has(one.step) && moment(one) > signed);
    const changed = of.corrections.filter((one) => steps.has(one.of.step) && moment(one) > signed);
    return changed.length ? changed.pop().of : made.pop();
  }

  /** Why one signature leaves a hold open, in words; empty when it does not. */
  function openRole(of, job, hold, steps, role) {
    const signed = signature(of, hold.id, role);
    if (!signed) return `${hold.code} is not signed by the ${ROLES[role] || role}.`;
    const apart = APART.includes(role) && record.builders(of).has(signed.by);
    if (apart && ownWork(of, job, steps, role, signed.by, moment(signed))) {
      return `${hold.code} is signed by ${signed.by}, who did the work: it does not count.`;
    }
    const changed = hold.covers ? changedAfter(of, steps, signed.when) : undefined;
    if (!changed) return "";
    const where = Object.entries(changed.at).map(([side, label]) => `${side} ${label}`).join(", ");
    const what = `${changed.name} at ${where || "its place"}`;
    return `${hold.code} is open again: ${what} was changed after the signature.`;
  }

  /**
   * Why a hold is open, in words; empty when it is released.
   * @param {object} of a record @param {object} job @param {Hold} hold
   * @param {Set<string>} steps the steps up to the hold, whose readings it covers
   */
  function openHold(of, job, hold, steps) {
    return hold.by.map((role) => openRole(of, job, hold, steps, role)).find(Boolean) || "";
  }

  Gaugeleaf.signing = Object.freeze({ ROLES, refusal, self, sign, signature, openHold });
})();
