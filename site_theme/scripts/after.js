// @ts-check
"use strict";
/**
 * What the rules say after a session: the same outcomes as `ladder/after.py`, by the rules of
 * `data/after/<id>.js`. It shows what the rules say; it never decides, and keeps nothing.
 *
 * @typedef {Object} Session null is what nobody said
 * @property {Set<string> | null} redFlags those that hold; null where nobody looked
 * @property {boolean | null} givingWay
 * @property {number | null} painBefore of 10
 * @property {number | null} painDuring
 * @property {number | null} painNight
 * @property {number | null} painNextMorning
 * @property {number | null} settled hours; Infinity where it is not yet
 * @property {string | null} swelling none, less, same, more
 * @property {number | null} sets
 * @property {number | null} reps
 * @property {number | null} hold seconds
 * @property {number | null} effort of 10
 * @property {number | null} sessions on this rung
 * @property {number | null} weeks on this rung
 * @property {number | null} missedWeeks
 * @property {boolean | null} heldLast
 * @property {Session | null} last
 * @property {Map<string, boolean>} answers to criteria in words, by key
 * @property {Map<string, number>} tests
 *
 * @typedef {{rule: string, says: string, met: boolean | null, leads: string, to: string, source: string | null, key: string}} Said
 * @typedef {{outcome: string, to: string[], rules: Said[], advice: string, conflict: Said[]}} After
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const COMMON = "common practice";
  const [LITTLE_EFFORT, LOOK_AGAIN_WEEKS, MISSED_WEEKS] = [3, 3, 2];
  const [THAT_NIGHT, NEXT_MORNING] = [12, 24];
  const ABOUT_PAIN = ["pain", "nextMorning", "settled", "notSettled"];

  /** @param {(boolean | null)[]} found */
  const allOf = (found) => (found.includes(false) ? false : found.includes(null) ? null : true);

  /** @param {[string, number]} bound @param {number} value */
  function within([relation, limit], value) {
    if (relation === "up to") return value <= limit;
    if (relation === "at least") return value >= limit;
    return relation === "above" ? value > limit : value < limit;
  }

  /** The worst pain that is told of. @param {Session} session */
  function worst(session) {
    const told = [session.painDuring, session.painNight, session.painNextMorning].filter((one) => one !== null);
    return told.length ? Math.max(.../** @type {number[]} */ (told)) : null;
  }

  /** Whether pain was back at its level in so many hours. @param {Session} session @param {number} hours */
  function settledWithin(session, hours) {
    if (session.settled !== null) return session.settled <= hours;
    if (worst(session) === 0 && session.painDuring === 0) return true; // nothing had to settle
    const usual = session.painBefore || 0;
    const looked = new Map([[THAT_NIGHT, session.painNight], [NEXT_MORNING, session.painNextMorning]]);
    for (const [at, pain] of looked) if (at <= hours && pain !== null && pain <= usual) return true;
    return (looked.get(hours) ?? null) !== null && session.painBefore !== null ? false : null;
  }

  /** @param {any} one a criterion @param {Session} session @param {string} key @returns {boolean | null} */
  function holds(one, session, key) {
    /** @type {(boolean | null)[]} */
    const parts = [];
    for (const [asked, done] of [[one.sets, session.sets], [one.reps, session.reps], [one.hold, session.hold]]) {
      if (asked !== undefined) parts.push(done === null ? null : done >= asked);
    }
    for (const [bound, told] of [[one.effort, session.effort], [one.nextMorning, session.painNextMorning]]) {
      if (bound) parts.push(told === null ? null : within(bound, told));
    }
    if (one.pain) parts.push(painHolds(session, one.pain));
    if (one.settled !== undefined) parts.push(settledWithin(session, one.settled));
    if (one.notSettled !== undefined) {
      const settled = settledWithin(session, one.notSettled);
      parts.push(settled === null ? null : !settled);
    }
    if (one.swelling) parts.push(swellingHolds(session.swelling, one.swelling));
    if (one.test) parts.push(testHolds(session.tests.get(one.test), one));
    if (one.words !== undefined) parts.push(session.answers.get(key) ?? null);
    return allOf(parts);
  }

  /** Any pain told of may break a bound; the session itself has to keep it. @param {Session} session @param {[string, number]} bound */
  function painHolds(session, bound) {
    const told = worst(session);
    if (told === null) return null;
    const upward = bound[0] === "above" || bound[0] === "at least";
    return within(bound, told) === upward || session.painDuring !== null ? within(bound, told) : null;
  }

  /** @param {string | null} told @param {string} asked */
  function swellingHolds(told, asked) {
    if (told === null) return null;
    return asked === "none" ? told === "none" : (told === "more") === (asked === "more");
  }

  /** @param {number | undefined} result @param {any} one */
  function testHolds(result, one) {
    if (result === undefined) return null;
    if (one.atLeast !== undefined && one.atLeast !== null) return result >= one.atLeast;
    return one.atMost === undefined || one.atMost === null || result <= one.atMost;
  }

  /** @param {string} rule @param {string} says @param {boolean | null} met @param {Partial<Said>} [more] @returns {Said} */
  const said = (rule, says, met, more) => Object.assign({ rule, says, met, leads: "", to: "", source: null, key: "" }, more);

  /** How the exercise breaks the orders in force; null where it keeps them. @param {any} rules @param {number | null} weeks since the operation */
  function broken(rules, weeks) {
    const held = rules.orders.filter((/** @type {any[]} */ [, time]) => time === null || rungbook.limits.inForce(time, weeks, false));
    const first = held.length && held[0][0];
    const strictest = held.filter((/** @type {any[]} */ [key]) => key === first)
      .reduce((/** @type {any} */ least, /** @type {any} */ one) => (!least || one[2] < least[2] ? one : least), null);
    return strictest && `breaks ${strictest[0]}: ${strictest[3]}`;
  }

  /** Everything but the steps on, in the order in which it is looked at. @param {any} rules @param {Session} session @param {string | null} order @returns {Said[]} */
  function against(rules, session, order) {
    const found = rules.flags.map((/** @type {string[]} */ [key, title]) => {
      const met = session.redFlags ? session.redFlags.has(key) : null;
      return said("red flag", title, met, { leads: met ? "stop" : "", key });
    });
    found.push(said("stop sign", "the joint gives way", session.givingWay, { leads: session.givingWay ? "stop" : "", source: COMMON }));
    if (order) found.push(said("order", `${rules.exercise} ${order}`, true, { leads: "back", to: rules.oneBack }));
    rules.backOff.forEach((/** @type {any} */ one, /** @type {number} */ i) => found.push(backOff(rules, session, one, `back-off ${i + 1}`)));
    found.push(...flared(rules, session), ...painRule(rules, session));
    if (session.swelling === "more") found.push(said("swelling", "swelling is rising: no step on", true, { leads: "stay", source: COMMON }));
    if (session.missedWeeks !== null && session.missedWeeks >= MISSED_WEEKS) {
      found.push(said("missed", "two weeks were missed: one rung back", true, { leads: "back", to: rules.oneBack, source: COMMON }));
    }
    if (session.weeks !== null && session.weeks >= LOOK_AGAIN_WEEKS) {
      found.push(said("no gain", "three weeks or more on this rung: where nothing is gained, look again", true, { source: COMMON }));
    }
    if (rules.quota) {
      const due = rules.onward.some((/** @type {any} */ own) => stepOn(own, rules, session)[1]);
      found.push(said("quota", "the planned amount, on good days and on bad ones", true, { leads: due ? "" : "stay" }));
    }
    return found;
  }

  /** @param {any} one */
  const aboutPain = (one) => ABOUT_PAIN.some((name) => one[name] !== undefined);

  /** @param {any} rules @param {Session} session @param {any} one @param {string} key */
  function backOff(rules, session, one, key) {
    const met = holds(one, session, key);
    const leads = met && !(rules.quota && aboutPain(one)) ? "back" : "";
    return said("back-off", one.says, met, { leads, to: leads ? rules.oneBack : "", key: one.words !== undefined ? key : "" });
  }

  /** @param {any} rules @param {Session} session @returns {Said[]} */
  function flared(rules, session) {
    return rules.flareUps.map((/** @type {any} */ one) => {
      const late = one.least <= 0 ? true : not(settledWithin(session, one.least));
      const answers = [late, one.most === null ? true : settledWithin(session, one.most)];
      const most = worst(session);
      if (one.worseThan !== null) answers.push(most === null ? null : most > one.worseThan);
      else if (most !== null) answers.push(most > 0);
      const met = allOf(answers);
      const leads = met && !rules.quota ? (one.to === rules.exercise && one.back === "same rung" ? "stay" : "back") : "";
      const worse = one.worseThan === null ? "" : `, worse than ${one.worseThan} of 10`;
      return said("flare-up", `${one.lasts}${worse}: ${one.do}`, met, { leads, to: leads === "back" ? one.to : "", source: one.source });
    });
  }

  /** @param {boolean | null} one */
  const not = (one) => (one === null ? null : !one);

  /** @param {any} rules @param {Session} session @returns {Said[]} */
  function painRule(rules, session) {
    const limit = rules.pain;
    if (!limit) return [];
    const answers = [];
    if (limit.during !== null) answers.push(session.painDuring === null ? null : session.painDuring <= limit.during);
    if (limit.settled !== null) answers.push(settledWithin(session, limit.settled));
    const met = allOf(answers);
    return [said("pain rule", limit.says, met, { leads: met === false && !rules.quota ? "stay" : "", source: limit.source })];
  }

  /** What has to be known, and well, before any step on. @param {any} rules @param {Said[]} told */
  function careful(rules, told) {
    /** @type {(boolean | null)[]} */
    const found = [];
    for (const one of told) {
      if (["red flag", "stop sign", "back-off", "flare-up"].includes(one.rule)) {
        const counted = !rules.quota || one.rule === "red flag" || one.rule === "stop sign" || one.key !== "";
        found.push(counted ? not(one.met) : true);
      } else if (one.rule === "pain rule" && !rules.quota) found.push(one.met);
    }
    return allOf(found);
  }

  /** @param {any} one */
  const withoutPain = (one) => Object.fromEntries(Object.entries(one).filter(([name]) => !ABOUT_PAIN.includes(name)));

  /** What the criteria of a step on say, and whether all hold. @param {any} own @param {any} rules @param {Session} session @returns {[Said[], boolean | null]} */
  function stepOn(own, rules, session) {
    const found = own.when.map((/** @type {any} */ one, /** @type {number} */ i) => {
      const key = `${own.to || "goal"} ${i + 1}`;
      const met = holds(rules.quota ? withoutPain(one) : one, session, key);
      return said("criterion", one.says, met, { to: own.to, source: own.source, key: one.words !== undefined ? key : "" });
    });
    if (own.sessions !== null) {
      found.push(said("least time", `after ${own.sessions} sessions`, session.sessions === null ? null : session.sessions >= own.sessions, { to: own.to }));
    }
    if (own.days !== null) {
      found.push(said("least time", `after ${own.days} days`, session.weeks === null ? null : 7 * session.weeks >= own.days, { to: own.to }));
    }
    found.push(said("two sessions", "the same the session before", heldBefore(own, rules, session), { to: own.to, source: COMMON }));
    return [found, own.when.length ? allOf(found.map((/** @type {Said} */ one) => one.met)) : false];
  }

  /** @param {any} own @param {any} rules @param {Session} session */
  function heldBefore(own, rules, session) {
    const { last } = session;
    if (session.heldLast !== null || !last) return session.heldLast;
    const kept = own.when.filter((/** @type {any} */ one) => Object.keys(one).some((name) => name !== "says" && name !== "words"))
      .map((/** @type {any} */ one) => Object.assign({}, rules.quota ? withoutPain(one) : one, { words: undefined }));
    return kept.length ? allOf(kept.map((/** @type {any} */ one) => holds(one, last, ""))) : null;
  }

  /**
   * @param {any} rules one of `data/after/<id>.js` @param {Session} session
   * @param {number | null} weeks since the operation
   * @returns {After}
   */
  function after(rules, session, weeks) {
    const told = against(rules, session, broken(rules, weeks));
    const steps = rules.onward.map((/** @type {any} */ own) => stepOn(own, rules, session));
    const calm = careful(rules, told);
    rules.onward.forEach((/** @type {any} */ own, /** @type {number} */ i) => {
      if (steps[i][1]) told.push(said("step on", `the criteria for ${own.title} hold`, true, { leads: "on", to: own.to }));
    });
    if (calm && session.effort !== null && session.effort <= LITTLE_EFFORT) {
      told.push(said("little effort", "calm, and effort of 3 or less: more may be offered, repetitions before load", true, { source: COMMON }));
    }
    told.push(...steps.flatMap((/** @type {any} */ [own]) => own));
    const leads = new Set(told.map((one) => one.leads).filter(Boolean));
    const conflict = leads.size > 1 ? ["stop", "back", "stay", "on"].filter((way) => leads.has(way))
      .map((way) => /** @type {Said} */ (told.find((one) => one.leads === way))) : [];
    for (const way of ["stop", "back", "stay"]) if (leads.has(way)) return outcome(rules, way, told, conflict);
    if (leads.has("on") && calm) return outcome(rules, "criteria-met", told, []);
    const unknown = calm === null || steps.some((/** @type {any} */ [, ready]) => ready === null);
    return outcome(rules, unknown ? "cannot-say" : "stay", told, []);
  }

  /** @param {any} rules @param {string} way @param {Said[]} told @param {Said[]} conflict @returns {After} */
  function outcome(rules, way, told, conflict) {
    const to = targets(rules, way, told);
    return { outcome: way, to, rules: told, advice: advice(rules, way, to), conflict };
  }

  /** @param {any} rules @param {string} way @param {Said[]} told */
  function targets(rules, way, told) {
    if (way === "criteria-met") return told.filter((one) => one.leads === "on" && one.to).map((one) => one.to);
    if (way !== "back") return [];
    const farther = told.filter((one) => one.leads === "back").map((one) => one.to)
      .filter((to) => to !== rules.oneBack && to !== rules.exercise);
    return [farther.length ? farther[0] : rules.oneBack];
  }

  /** @param {any} rules @param {string} way @param {string[]} to */
  function advice(rules, way, to) {
    if (way === "stop") return "Stop, and examine or refer.";
    if (way === "back") return to[0] === rules.exercise ? "Nothing easier leads to it: less of it, then call." : "Back to the easier exercise.";
    if (way === "criteria-met") return "The criteria hold, in two sessions running.";
    if (way === "stay") return rules.quota ? "The planned amount." : "Stay on this exercise.";
    return "The rules cannot say: something is not answered.";
  }

  rungbook.after = { after };
})();
