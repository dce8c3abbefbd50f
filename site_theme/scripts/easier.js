// @ts-check
"use strict";
/**
 * What to give instead of an exercise that is not tolerated: the same options, in the same
 * order, as `ladder/easier.py`.
 *
 * @typedef {Object} Option
 * @property {string} id
 * @property {string} title
 * @property {string} kind same, neighbour, library, solved
 * @property {number | null} demand
 * @property {number | null} ratio
 * @property {number} stepSize
 * @property {any} step back up to the exercise
 * @property {[string, string][]} changes
 * @property {string[]} rises
 * @property {[string, number] | null} instead the opposite muscles and their N·m, where those provoked have nothing to do
 * @property {any} profile
 *
 * @typedef {{kind: string, profile: any, feature: any, changes: [string, string][]}} Candidate
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const KINDS = ["same", "neighbour", "library", "solved"];
  const LEAST_SHARE = 0.8;
  const LEAST_ANGLE = 10;
  const TOLERANCE = 1e-6;
  const ROUNDING = 1e-6; // to which profiles are rounded
  const LEAST_NM = 1; // as `ladder/instead.py`

  /** @param {number | null | undefined} option @param {number | null | undefined} provoking */
  function lower(option, provoking) {
    if (option === null || option === undefined || provoking === null || provoking === undefined) return false;
    return provoking > ROUNDING && option <= LEAST_SHARE * provoking + ROUNDING;
  }

  /** @param {any} a @param {any} b */
  const shareWorks = (a, b) => a.works.some((/** @type {string} */ action) => b.works.includes(action));

  /** How far a joint goes toward a movement. @param {any} one @param {[string, string, number]} lead */
  function reach(one, lead) {
    if (one.leads && one.leads.join() === lead.join()) return one.range;
    const [joint, axis, sign] = lead;
    const side = joint.startsWith("other-") ? "other" : "working";
    const name = joint.replace(/^other-/, "");
    const angles = one.extremes.get(`${side} ${name} ${axis}`) || one.extremes.get(`${name} ${axis}`);
    return angles ? Math.max(...angles.map((/** @type {number} */ angle) => sign * angle)) : null;
  }

  /** @param {number} index concentric, eccentric, held */
  function contracting(index) {
    return (/** @type {any} */ option, /** @type {any} */ provoking) => {
      const worst = (/** @type {any} */ one) => {
        const found = provoking.works
          .filter((/** @type {string} */ action) => one.moments.has(action) &&
            (one.contraction.get(action) || []).some((/** @type {number} */ share) => share !== 0))
          .map((/** @type {string} */ action) => one.moments.get(action) * one.contraction.get(action)[index]);
        return found.length ? Math.max(...found) : null;
      };
      return lower(worst(option), worst(provoking));
    };
  }

  /** @type {Map<string, (option: any, provoking: any, other: boolean, rules: any) => boolean>} */
  const REASONS = new Map(Object.entries({
    load(option, provoking, _, rules) {
      const demands = rungbook.steps.workedOn(option, provoking, provoking.works, rules);
      return option.moments.size > 0 && demands !== null && lower(demands[0], demands[1]);
    },
    range(option, provoking) {
      if (!provoking.leads) return false;
      const far = reach(option, provoking.leads);
      return far !== null && far <= provoking.range - LEAST_ANGLE + ROUNDING;
    },
    lengthening: (option, provoking) =>
      shareWorks(option, provoking) && option.lengthening <= provoking.lengthening - LEAST_ANGLE + ROUNDING,
    bearing: (option, provoking) => lower(option.bearing, provoking.bearing),
    position: (option, provoking, other) =>
      option.stability < provoking.stability || (other && option.stability === provoking.stability),
    speed: (option, provoking) => lower(option.speed, provoking.speed),
    volume: (option, provoking) => lower(option.volume, provoking.volume),
    impact: (option, provoking) => option.impact < provoking.impact,
    lifting: contracting(0),
    lowering: contracting(1),
    holding: contracting(2),
    "next day": (option, provoking) => lower(option.session, provoking.session),
  }));

  /** What is another than in the exercise. @param {any} option @param {any} optionFeature @param {any} provoking @param {any} feature */
  function differences(option, optionFeature, provoking, feature) {
    /** @type {[string, string][]} */
    const found = [];
    if (optionFeature.position !== feature.position) found.push(["position", optionFeature.position]);
    if (option.sides !== provoking.sides) found.push(["sides", option.sides === "both" ? "both sides" : "one side"]);
    const added = optionFeature.equipment.filter((/** @type {string} */ key) => !feature.equipment.includes(key)).sort();
    if (added.length) found.push(["equipment", added.join(", ")]);
    return found;
  }

  /** What asks for more than a little more. @param {any} here @param {any} there @param {any} ruler @param {any} rules */
  function rising(here, there, ruler, rules) {
    const { between, rises, floorOf, aimOf } = rungbook.steps;
    const aim = ruler.aim || aimOf(here, [], rules);
    const axes = [...between(here, there, { limits: rules.everyAxis, aim, scale: ruler.scale }, rules).axes]
      .filter(([axis, one]) => rules.axes.get(axis).group && one.change > 0)
      .map(([axis]) => axis);
    const names = [...there.others.keys()].sort(rungbook.routes.byCodePoints);
    const weight = (/** @type {string} */ name) => name.startsWith("weight on");
    const others = names.filter((name) => !weight(name) && here.others.has(name) &&
      rises("elsewhere", here.others.get(name), there.others.get(name), floorOf("elsewhere", aim, rules), rules));
    const onto = names.filter((name) => weight(name) &&
      rises("bearing", here.others.get(name) || 0, there.others.get(name), 0, rules));
    return [...axes, ...others, ...onto];
  }

  /** Nothing is easier that asks for a step too large elsewhere; a dose can be set. @param {any} step @param {any} rules @param {number} atOnce steps of demand */
  function tooFar(step, rules, atOnce) {
    return [...step.axes].some(([axis, one]) => rules.axes.get(axis).group && axis !== "volume" && one.size > (axis === "demand" ? atOnce : 1) + TOLERANCE);
  }

  /**
   * @param {any} library @param {any} rules
   * @param {any} here profile of the exercise @param {any} feature
   * @param {Candidate[]} candidates @param {string[]} because
   * @param {any} filters with the ladders' orders among its restrictions
   * @param {string} irritability
   * @returns {{options: Option[], leftOut: {id: string, title: string, objection: any}[]}}
   */
  function easier(library, rules, here, feature, candidates, because, filters, irritability) {
    const ladder = rungbook.routes.ladderOf(library, [here.id]);
    const ruler = rungbook.profiles.ruler(library, ladder, here);
    const atOnce = new Map(library.atOnce).get(irritability);
    /** @type {Option[]} */
    const options = [];
    const leftOut = [];
    for (const candidate of candidates) {
      const there = candidate.profile;
      const other = candidate.feature.position !== feature.position;
      if (!because.every((reason) => (REASONS.get(reason) || (() => false))(there, here, other, rules))) continue;
      if (tooFar(rungbook.steps.between(here, there, ruler, rules), rules, /** @type {number} */ (atOnce))) continue;
      const objection = rungbook.filters.objection(filters, candidate.feature, library);
      if (objection) {
        leftOut.push({ id: there.id, title: candidate.feature.title, objection });
        continue;
      }
      const demands = rungbook.steps.workedOn(there, here, here.works, rules);
      const known = demands !== null && there.moments.size > 0;
      const step = rungbook.steps.between(there, here, ruler, rules);
      options.push({
        id: there.id,
        title: candidate.feature.title,
        kind: candidate.kind,
        demand: known ? demands[0] : null,
        ratio: known && demands[1] > ROUNDING ? demands[0] / demands[1] : null,
        stepSize: step.size,
        step,
        changes: candidate.changes,
        rises: rising(here, there, ruler, rules),
        instead: instead(there, here.works, library),
        profile: there,
      });
    }
    options.sort((a, b) => KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind) || a.stepSize - b.stepSize ||
      rungbook.routes.byCodePoints(a.id, b.id));
    return { options, leftOut };
  }

  /**
   * The opposite muscles and their N·m, where none of some actions has to act: as `ladder/instead.py`.
   * @param {any} there profile @param {string[]} works @param {any} library
   * @returns {[string, number] | null}
   */
  function instead(there, works, library) {
    /** @type {Map<string, [string, string, number]>} */
    const actions = new Map(library.actions);
    const peak = (/** @type {string} */ action) => {
      if (there.moments.has(action)) return there.moments.get(action);
      const [joint, axis, sign] = /** @type {[string, string, number]} */ (actions.get(action));
      const both = there.directed.get(`${joint} ${axis}`);
      return both ? both[sign > 0 ? 0 : 1] : null;
    };
    const peaks = works.map(peak);
    if (!works.length || peaks.some((one) => one === null || one > ROUNDING)) return null;
    /** @type {[string, number] | null} */
    let best = null;
    for (const action of works) {
      const [joint, axis, sign] = /** @type {[string, string, number]} */ (actions.get(action));
      const other = [...actions].find(([, [j, a, s]]) => j === joint && a === axis && s === -sign);
      const value = other ? peak(other[0]) || 0 : 0;
      if (other && (!best || value > best[1])) best = [other[0], value];
    }
    return best && best[1] >= LEAST_NM ? best : null;
  }

  /** `gravity turns round: hip extension works instead, up to 12 N·m` @param {[string, number]} found */
  const insteadWords = ([action, peak]) => `Gravity turns round: ${action.replace(/-/g, " ")} works instead, up to ${rungbook.answers.moment(peak)}`;

  /** The restrictions of every ladder the exercise is on. @param {any} library @param {string} id */
  function ordered(library, id) {
    const found = new Set();
    for (const ladder of library.ladders) {
      if (ladder.rungs.includes(id)) ladder.restrictions.forEach((/** @type {string} */ key) => found.add(key));
    }
    return found;
  }

  rungbook.easier = { easier, differences, instead, insteadWords, ordered, shareWorks, KINDS, REASONS };
})();
