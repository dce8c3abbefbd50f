// @ts-check
"use strict";
/**
 * What to give instead of an exercise that is not tolerated: the same options, in the same
 * order, as `ladder/easier.py`; the order itself is in `answer_order.js`.
 *
 * @typedef {{before: number, now: number, share: number | null}} Eased
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
 * @property {Map<string, Eased>} eased
 * @property {number | null} share
 * @property {boolean} mayLead
 * @property {number} notLoaded
 * @property {boolean} askedFor
 * @property {any} shortened as `within.js` cuts it
 * @property {string | null} kindOfWork
 * @property {number | null} backUp rungs
 * @property {string | null} slot
 * @property {any} profile
 * @property {any} feature
 *
 * @typedef {{kind: string, profile: any, feature: any, changes: [string, string][], cut: any}} Candidate
 *   `cut` is what `within.js` shortens it by
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const [LEAST_HALF, LEAST_OF_STANDARD] = [0.35, 0.1]; // as `ladder/answer_order.py`
  const ONE_LEG = 0.6;
  const LOWERING = 1;
  const LEAST_ARC = 1;
  const SETTLED = 0.5;
  const TOLERANCE = 1e-6;
  const ROUNDING = 1e-6; // to which profiles are rounded
  const LEAST_NM = 1; // as `ladder/instead.py`

  /** @param {number} share */
  const roundedShare = (share) => Math.floor(share * 10000 + 0.5) / 10000;

  /** @param {number | null | undefined} option @param {number | null | undefined} provoking @returns {Eased | null} */
  function part(option, provoking) {
    if (option === null || option === undefined || provoking === null || provoking === undefined) return null;
    if (provoking <= ROUNDING || option >= provoking - ROUNDING) return null;
    return { before: provoking, now: option, share: roundedShare(option / provoking) };
  }

  /** @param {any} a @param {any} b */
  const shareWorks = (a, b) => a.works.some((/** @type {string} */ action) => b.works.includes(action));

  /** @param {any} one @param {[string, string, number]} lead @returns {[number, number] | undefined} */
  function extremes(one, [joint, axis]) {
    const side = joint.startsWith("other-") ? "other" : "working";
    const name = joint.replace(/^other-/, "");
    return one.extremes.get(`${side} ${name} ${axis}`) || one.extremes.get(`${name} ${axis}`);
  }

  /** How far a joint goes toward a movement. @param {any} one @param {[string, string, number]} lead */
  function reach(one, lead) {
    if (one.leads && one.leads.join() === lead.join()) return one.range;
    const angles = extremes(one, lead);
    return angles ? Math.max(...angles.map((/** @type {number} */ angle) => lead[2] * angle)) : null;
  }

  /** @param {number | null} option @param {number} provoking @param {any} whole @returns {Eased | null} */
  function angle(option, provoking, whole) {
    if (option === null || option > provoking - SETTLED) return null;
    const ends = whole.leads && extremes(whole, whole.leads);
    const arc = ends ? ends[1] - ends[0] : 0;
    return { before: provoking, now: option,
      share: arc >= LEAST_ARC ? roundedShare(Math.max(0, 1 - (provoking - option) / arc)) : null };
  }

  /** N·m while lifting (0), lowering (1) or holding (2), about what provokes. @param {any} one @param {any} provoking @param {number} index @param {any} rules */
  function contracting(one, provoking, index, rules) {
    const found = [];
    const own = [...one.contracting.values()].some((peaks) => peaks[index]);
    for (const action of provoking.works) {
      const named = one.contracting.get(action);
      const peak = named ? named[index] : one.contracting.size ? rungbook.steps.moment(one, action, rules) : null;
      if (peak !== null) found.push(named || own ? peak : 0);
    }
    return found.length ? Math.max(...found) : null;
  }

  /** @param {number} index */
  const lessContracting = (index) => (/** @type {any} */ option, /** @type {any} */ provoking, /** @type {boolean} */ _, /** @type {any} */ rules) =>
    part(contracting(option, provoking, index, rules), contracting(provoking, provoking, index, rules));

  /** How far muscles are drawn long. @param {any} one @param {string} action @param {any} rules */
  function drawnLong(one, action, rules) {
    const [, axis, sign] = rules.axisOf.get(action);
    return reach(one, [action.split(" ")[0], axis, -sign]);
  }

  /** @type {(option: any, provoking: any, other: boolean, rules: any) => Eased | null} */
  function lengthening(option, provoking, _, rules) {
    if (!shareWorks(option, provoking)) return null;
    if (provoking.lengthening > LEAST_ARC) return angle(option.lengthening, provoking.lengthening, provoking);
    /** @type {[string, number] | null} */
    let long = null;
    for (const action of provoking.works) {
      const far = drawnLong(provoking, action, rules);
      if (far !== null && (!long || far > long[1])) long = [action, far];
    }
    return long && angle(drawnLong(option, long[0], rules), long[1], provoking);
  }

  /** @type {Map<string, (option: any, provoking: any, other: boolean, rules: any) => Eased | null>} */
  const REASONS = new Map(Object.entries({
    load(option, provoking, _, rules) {
      const demands = rungbook.steps.workedOn(option, provoking, provoking.works, rules);
      return option.moments.size > 0 && demands !== null ? part(demands[0], demands[1]) : null;
    },
    range: (option, provoking) => (provoking.leads ? angle(reach(option, provoking.leads), provoking.range, provoking) : null),
    lengthening,
    bearing: (option, provoking) => part(option.bearing, provoking.bearing),
    position: (option, provoking, other) =>
      (option.stability < provoking.stability || (other && option.stability === provoking.stability)
        ? { before: provoking.stability, now: option.stability, share: null } : null),
    speed: (option, provoking) => part(option.speed, provoking.speed),
    volume: (option, provoking) => part(option.volume, provoking.volume),
    impact: (option, provoking) => (option.impact < provoking.impact ? { before: provoking.impact, now: option.impact, share: null } : null),
    lifting: lessContracting(0),
    lowering: lessContracting(1),
    holding: lessContracting(2),
    "next day": (option, provoking) => (option.session === provoking.session
      ? part(option.volume, provoking.volume) : part(option.session, provoking.session)),
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

  /** The first axis that is a step too large; a dose can be set. @param {any} step @param {any} rules @param {number} atOnce steps of demand */
  function tooFar(step, rules, atOnce) {
    const found = [...step.axes].find(([axis, one]) => rules.axes.get(axis).group && axis !== "volume" && one.size > (axis === "demand" ? atOnce : 1) + TOLERANCE);
    return found ? found[0] : null;
  }

  /** @param {any} one */
  const onOneLeg = (one) => one.limb === "leg" && one.bearing > ONE_LEG;

  /** Why something that asks for less is no relief; null where it is one. @param {any} asked @param {Candidate} candidate @param {any} there */
  function tooMuch(asked, candidate, there) {
    const { here, because, ruler, rules, atOnce } = asked;
    if (because.includes("lowering") && onOneLeg(there) && contracting(there, here, LOWERING, rules)) {
      return { filter: "one-leg", value: "", title: "one-leg", words: "lowers body weight on one leg", until: rungbook.limits.NOWHERE };
    }
    if (candidate.kind !== "library") return null;
    const axis = tooFar(rungbook.steps.between(here, there, ruler, rules), rules, atOnce);
    return axis && { filter: "too-large", value: axis, title: axis, until: rungbook.limits.NOWHERE,
      words: `asks for a step too large in ${rungbook.answers.axisTitle(axis)}` };
  }

  /** A profile of what is left where the movement stops earlier. @param {any} one @param {any} row `data/within.js` @param {number} until */
  function profileUntil(one, row, until) {
    const { greatestUntil, atPlace, END } = rungbook.limits;
    const moments = new Map(one.moments);
    for (const action of moments.keys()) {
      const curves = row.curves.filter((/** @type {any} */ _, /** @type {number} */ i) => !row.about || row.about[i] === action);
      if (curves.length) moments.set(action, six(Math.max(0, ...curves.map((/** @type {number[]} */ curve) => greatestUntil(curve, until)))));
    }
    const contractions = new Map([...one.contracting].map(([action, peaks]) =>
      [action, peaks.map((/** @type {number} */ peak) => Math.min(peak, moments.get(action)))]));
    const toward = row.angles[END] >= row.angles[0] ? 1 : -1;
    const there = Object.create(one);
    return Object.defineProperties(there, Object.fromEntries(Object.entries({ moments, contracting: contractions,
      range: six(toward * atPlace(row.angles, until)) }).map(([name, value]) => [name, { value, enumerable: true }])));
  }

  const six = (/** @type {number} */ value) => Math.round(value * 1e6) / 1e6;

  /** The whole question, worked out once. @param {any} library @param {any} rules @param {any} here @param {string[]} because @param {any} filters @param {string} irritability @param {Map<string, number>} below @param {Set<string>} above */
  function question(library, rules, here, because, filters, irritability, below, above) {
    const ladder = rungbook.routes.ladderOf(library, [here.id]);
    const ruler = rungbook.profiles.ruler(library, ladder, here);
    const standards = here.works.map((/** @type {string} */ action) => ruler.scale && ruler.scale.standards.get(action))
      .filter((/** @type {any} */ nm) => nm !== undefined && nm !== null);
    const least = LEAST_OF_STANDARD * (standards.length ? Math.max(...standards) : rungbook.steps.aimOf(here, here.works, rules).demand);
    return { library, rules, here, because, filters, irritability, below, above, ruler, least,
      atOnce: new Map(library.atOnce).get(irritability), passive: filters.restrictions.size > 0 || filters.kinds.has("passive") || filters.kinds.has("none") };
  }

  /** The option as it fits, what leaves it out, or null where it asks for no less. @param {any} asked @param {any} feature @param {Candidate} candidate @returns {{option?: Option, objection?: any} | null} */
  function judged(asked, feature, candidate) {
    const { here, rules, filters, library } = asked;
    const objections = rungbook.filters.objections(filters, candidate.feature, library);
    const verdict = rungbook.filters.strictest(objections) ||
      (rungbook.filters.aboutLoad(filters) && !(candidate.cut && candidate.cut.known) ? rungbook.within.UNKNOWN : null);
    const short = verdict && rungbook.within.shortened(candidate.cut, verdict.until, library);
    const there = short ? profileUntil(candidate.profile, candidate.cut, short.until) : candidate.profile;
    if (candidate.kind === "same" && !candidate.changes.length && !short) return null; // the exercise itself, whole
    const other = candidate.feature.position !== feature.position;
    /** @type {Map<string, Eased>} */
    const eased = new Map();
    for (const reason of asked.because) {
      const one = (REASONS.get(reason) || (() => null))(there, here, other, rules);
      if (!one) return null;
      eased.set(reason, one);
    }
    if (verdict && !short) return { objection: verdict };
    const objection = tooMuch(asked, candidate, there);
    return objection ? { objection } : { option: optionOf(asked, candidate, there, eased, short) };
  }

  /** @param {any} asked @param {Candidate} candidate @param {any} there @param {Map<string, Eased>} eased @param {any} short @returns {Option} */
  function optionOf(asked, candidate, there, eased, short) {
    const { here, rules, ruler, library } = asked;
    const demands = rungbook.steps.workedOn(there, here, here.works, rules);
    const known = demands !== null && there.moments.size > 0;
    const ratio = known && demands[1] > ROUNDING ? demands[0] / demands[1] : null;
    const shares = [...eased.values()].map((one) => one.share).filter((share) => share !== null);
    const step = rungbook.steps.between(there, here, ruler, rules);
    const back = asked.below.get(candidate.feature.id);
    return {
      id: candidate.feature.id, title: candidate.feature.title, kind: candidate.kind,
      demand: known ? demands[0] : null, ratio, stepSize: step.size, step, changes: candidate.changes,
      rises: rising(here, there, ruler, rules), instead: instead(there, here.works, library), eased,
      share: shares.length ? Math.max(.../** @type {number[]} */ (shares)) : ratio === null ? null : roundedShare(ratio),
      mayLead: mayLead(asked, candidate, there), notLoaded: notLoaded(here, there, rules),
      askedFor: rungbook.answerOrder.askedFor(eased, candidate.changes, Boolean(short), onOneLeg(here)), shortened: short,
      kindOfWork: kindWord(candidate.feature, library), backUp: back === undefined ? null : back, slot: null,
      profile: there, feature: candidate.feature,
    };
  }

  /** Whether it loads what provokes, and nobody declared it harder. @param {any} asked @param {Candidate} candidate @param {any} there */
  function mayLead(asked, { kind, feature }, there) {
    const { here, rules, above } = asked;
    if (shareWorks(there, here)) return !above.has(feature.id);
    const peaks = here.works.map((/** @type {string} */ action) => rungbook.steps.moment(there, action, rules) || 0);
    return kind === "neighbour" && Math.max(0, ...peaks) >= LEAST_HALF * rungbook.steps.aimOf(here, here.works, rules).demand;
  }

  /** How many actions of the exercise another one hardly loads. @param {any} here @param {any} there @param {any} rules */
  function notLoaded(here, there, rules) {
    const peak = (/** @type {any} */ one, /** @type {string} */ action) => rungbook.steps.moment(one, action, rules) || 0;
    if (!here.works.some((/** @type {string} */ action) => peak(there, action))) return 0;
    return here.works.filter((/** @type {string} */ action) => peak(there, action) < LEAST_OF_STANDARD * peak(here, action)).length;
  }

  /** The kind of work of what is named, the hardest of several. @param {any} feature @param {any} library */
  function kindWord(feature, library) {
    if (!feature.kinds) return null;
    const numbers = feature.kinds.filter((/** @type {any} */ one) => one.named).map((/** @type {any} */ one) => library.kindsOfWork.indexOf(one.word));
    return numbers.length ? library.kindsOfWork[Math.max(...numbers)] : "none";
  }

  /**
   * @param {any} library @param {any} rules
   * @param {any} here profile of the exercise @param {any} feature
   * @param {Candidate[]} candidates @param {string[]} because
   * @param {any} filters with the ladders' orders among its restrictions
   * @param {string} irritability
   * @param {Map<string, number>} below rungs from every easier exercise up to this one
   * @param {Set<string>} above what it leads to
   */
  function easier(library, rules, here, feature, candidates, because, filters, irritability, below, above) {
    const asked = question(library, rules, here, because, filters, irritability, below, above);
    /** @type {Option[]} */
    const options = [];
    const leftOut = [];
    for (const candidate of candidates) {
      const found = judged(asked, feature, candidate);
      if (found && found.option) options.push(found.option);
      else if (found) leftOut.push({ id: candidate.feature.id, title: candidate.feature.title, objection: found.objection });
    }
    const ordered = rungbook.answerOrder.inOrder(options, asked);
    return { options: ordered, leftOut, nothing: rungbook.answerOrder.nothingFirst(ordered, leftOut.length) };
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
      if (!there.statics) return null;
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

  rungbook.easier = { easier, differences, insteadWords, ordered, shareWorks, REASONS };
})();
