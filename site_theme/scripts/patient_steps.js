// @ts-check
"use strict";
/** Steps, and what ladders measure them by, for the patient in the room. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const six = (/** @type {number} */ value) => Math.round(value * 1e6) / 1e6; // as profiles are

  /** The profile of an exercise for the patient. @param {any} record @param {any} patient @param {any} library */
  function profileFor(record, patient, library) {
    const reference = record && rungbook.profiles.profiles(record.profiles).get(record.id);
    const load = reference && record.scaling && rungbook.patient.loadOf(record, Object.assign({}, patient, { capacity: null, arc: null }));
    if (!load) return reference || null;
    const rules = rungbook.profiles.rules(library);
    const moments = new Map(load.demands.map((/** @type {any} */ one) => [one.works, six(one.peak)]));
    /** @type {Map<string, number>} */
    const about = new Map();
    for (const [action] of record.scaling.actions) {
      // A joint that is moved for the patient needs no muscle, whoever the patient is.
      const moved = record.scaling.passive && rungbook.steps.moment(reference, action, rules) === 0;
      const peak = moved ? 0 : rungbook.scaling.peakAbout(record.scaling, load.shown, action, patient.person);
      if (peak !== null) about.set(action, six(peak));
    }
    return Object.assign({}, reference, { moments, about, bearing: six(load.bearing), statics: load.withheld === null });
  }

  /** Everything a ladder's steps are computed from: its rungs, its goal, its standard exercises. @param {any} ladder @returns {string[]} */
  function neededFor(ladder) {
    return [...new Set([...ladder.rungs, ladder.goal, ...ladder.standards.map((/** @type {any[]} */ pair) => pair[1])])].filter(Boolean);
  }

  /**
   * What a ladder measures the patient's steps by: limits, floors, one scale of the patient's own,
   * and what the way to each rung has prepared.
   * @param {any} ladder @param {Map<string, any>} records by exercise @param {any} patient @param {any} library
   */
  function rulerFor(ladder, records, patient, library) {
    const rules = rungbook.profiles.rules(library);
    const { steps } = rungbook;
    const profileOf = (/** @type {string} */ id) => profileFor(records.get(id), patient, library);
    const limits = rungbook.profiles.limitsOf(ladder.limits);
    const goal = profileOf(ladder.goal);
    const ratio = limits.wide.get("demand");
    const standards = ladder.standards.map((/** @type {any[]} */ [action, id]) => {
      const standard = id && profileOf(id);
      return [action, standard ? steps.moment(standard, action, rules) : null];
    }).filter((/** @type {any[]} */ [, nm]) => nm !== null && nm >= rules.smallestStandard);
    const scale = ratio === undefined ? null : { standards: new Map(standards), ratio };
    const profiles = new Map(ladder.rungs.map((/** @type {string} */ id) => [id, profileOf(id)]));
    const moments = new Map([...profiles].map(([id, one]) => [id, one && scale ? steps.momentsOn(one, scale, rules) : new Map()]));
    const below = new Map();
    for (const [from, to] of [...ladder.steps, ...ladder.unmeasured]) below.set(ladder.rungs[to], [...(below.get(ladder.rungs[to]) || []), ladder.rungs[from]]);
    const entries = new Set(ladder.entries.map((/** @type {string[]} */ pair) => pair[1]));
    const prepared = scale ? steps.prepared(ladder.rungs, below, entries, moments) : new Map();
    return { ruler: { limits, aim: goal && steps.aimOf(goal, ladder.works, rules), scale }, moments, prepared };
  }

  /** What measures where no ladder holds both ends: the harder end's own demand. @param {any} goal its record, if it is named @param {any} patient @param {any} library */
  function rulerOff(goal, patient, library) {
    const limits = rungbook.profiles.limitsOf(library.limits);
    const profile = goal && profileFor(goal, patient, library);
    const ratio = limits.wide.get("demand");
    const scale = profile && ratio !== undefined ? rungbook.steps.scaleFor(profile, ratio, rungbook.profiles.rules(library)) : null;
    return { ruler: { limits, scale }, moments: new Map(), prepared: new Map() };
  }

  /** How many steps high a rung is for the patient: of several actions the greatest. @param {any} judge from `rulerFor` @param {string} rung */
  function heightOf(judge, rung) {
    const { scale } = judge.ruler;
    const own = judge.moments.get(rung) || new Map();
    const known = scale ? [...scale.standards].filter(([action]) => own.has(action))
      .map(([action, standard]) => rungbook.steps.height(standard, scale.ratio, own.get(action))) : [];
    return known.length ? Math.max(...known) : null;
  }

  /**
   * A step between two exercises for the patient.
   * @param {any} from record @param {any} to record @param {any} judge from `rulerFor` or `rulerOff`
   * @param {any} library @param {any} patient
   */
  function stepFor(from, to, judge, library, patient) {
    const [low, high] = [from, to].map((record) => profileFor(record, patient, library));
    if (!low || !high) return null;
    const rules = rungbook.profiles.rules(library);
    return rungbook.steps.between(low, high, judge.ruler, rules, judge.prepared.get(from.id));
  }

  rungbook.patientSteps = { profileFor, neededFor, rulerFor, rulerOff, heightOf, stepFor };
})();
