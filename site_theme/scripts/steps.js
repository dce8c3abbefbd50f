// @ts-check
"use strict";
/**
 * The size of the step between two exercises: the same numbers as `ladder/steps.py`.
 *
 * @typedef {Object} Profile as `ladder/profile.py`; moments N·m, angles °, speeds °/s, volume s
 * @property {string} id
 * @property {string[]} works actions such as "hip abduction" or "other-knee flexion"
 * @property {Map<string, number>} moments
 * @property {Map<string, [number, number]>} directed joint axis -> greatest moment either way
 * @property {Map<string, number>} others
 * @property {number} bearing
 * @property {string} limb
 * @property {number} impact
 * @property {[string, string, number] | null} leads
 * @property {number} range
 * @property {boolean} rangeNarrow
 * @property {number} lengthening
 * @property {boolean} lengtheningNarrow
 * @property {boolean} lengtheningIsRange
 * @property {number} speed
 * @property {number} stability
 * @property {number | null} volume
 * @property {Map<string, number>} [about] moments about more actions, for a patient
 *
 * @typedef {{from: number, to: number, limit: number, size: number}} AxisStep
 * @typedef {{axes: Map<string, AxisStep>, size: number, missing: number, worst: string,
 *   risen: string[], elsewhere: string | null}} Step
 * @typedef {{kind: string, little: number, group: string | null, floor: number | null}} AxisRule
 * @typedef {{axes: Map<string, AxisRule>, axisOf: Map<string, [string, string, number]>,
 *   floorShare: number}} Rules
 * @typedef {{wide: Map<string, number>, narrow: Map<string, number>}} Limits
 * @typedef {{demand: number, speed: number, volume: number}} Aim
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const GROUPS = ["load", "motion", "position", "dose"];
  const TOLERANCE = 1e-6;
  const nine = (/** @type {number} */ value) => Math.round(value * 1e9) / 1e9;

  /**
   * The peak moment about an action, also one that the exercise does not name.
   * @param {Profile} profile @param {string} action @param {Rules} rules
   * @returns {number | null}
   */
  function moment(profile, action, rules) {
    const known = profile.moments.get(action);
    if (known !== undefined) return known;
    // For the patient an action that the exercise does not name is known by its own coefficients.
    const about = profile.about && profile.about.get(action);
    if (about !== undefined) return about;
    const at = rules.axisOf.get(action);
    if (!at) return null;
    const both = profile.directed.get(`${at[0]} ${at[1]}`);
    return both ? both[at[2] > 0 ? 0 : 1] : null;
  }

  /** @param {Profile} goal @param {string[]} works @param {Rules} rules @returns {Aim} */
  function aimOf(goal, works, rules) {
    const known = works.map((action) => moment(goal, action, rules)).filter((m) => m !== null);
    const demand = Math.max(0, ...(known.length ? /** @type {number[]} */ (known) : goal.moments.values()));
    return { demand, speed: goal.speed, volume: goal.volume || 0 };
  }

  /** @param {string} axis @param {Aim} aim @param {Rules} rules */
  function floorOf(axis, aim, rules) {
    const rule = /** @type {AxisRule} */ (rules.axes.get(axis));
    const value = axis === "demand" || axis === "elsewhere" ? aim.demand : axis === "speed" ? aim.speed : aim.volume;
    return Math.max(rule.floor || 0, rules.floorShare * value);
  }

  /** @param {string} axis @param {number} a @param {number} b @param {number} limit @param {number} floor @param {Rules} rules */
  function axisSize(axis, a, b, limit, floor, rules) {
    const rule = /** @type {AxisRule} */ (rules.axes.get(axis));
    if (rule.kind === "ratio") {
      return nine(Math.max(0, Math.log(Math.max(b, floor) / Math.max(a, floor)) / Math.log(limit)));
    }
    return nine(Math.max(0, (b - a) / limit));
  }

  /** Whether an axis rises by more than a little. @param {string} axis @param {number} a @param {number} b @param {number} floor @param {Rules} rules */
  function rises(axis, a, b, floor, rules) {
    const rule = /** @type {AxisRule} */ (rules.axes.get(axis));
    if (rule.kind === "ratio") return Math.max(b, floor) / Math.max(a, floor) > rule.little + 1e-6;
    return b - a > rule.little + 1e-6;
  }

  /**
   * The demand of both, about the ladder's works or else the harder exercise's: the worst.
   * @param {Profile} easier @param {Profile} harder @param {string[]} works @param {Rules} rules
   * @returns {[number, number] | null}
   */
  function workedOn(easier, harder, works, rules) {
    for (const actions of [works, harder.works, easier.works]) {
      const pairs = actions
        .map((action) => [moment(easier, action, rules), moment(harder, action, rules)])
        .filter(([a, b]) => a !== null && b !== null);
      if (pairs.length) {
        return [
          Math.max(...pairs.map(([a]) => /** @type {number} */ (a))),
          Math.max(...pairs.map(([, b]) => /** @type {number} */ (b))),
        ];
      }
    }
    return null;
  }

  /**
   * Values on every comparable axis: easier, harder, floor, narrow limit.
   * @param {Profile} easier @param {Profile} harder @param {Aim} aim @param {string[]} works
   * @param {Rules} rules
   * @returns {[string, number, number, number, boolean][]}
   */
  function values(easier, harder, aim, works, rules) {
    /** @type {[string, number, number, number, boolean][]} */
    const found = [];
    const demand = workedOn(easier, harder, works, rules);
    if (demand) found.push(["demand", demand[0], demand[1], floorOf("demand", aim, rules), false]);
    const before = easier.limb === harder.limb ? easier.bearing : 0;
    found.push(["bearing", before, harder.bearing, 0, harder.limb === "arm"]);
    found.push(["impact", easier.impact, harder.impact, 0, false]);
    const ranged = easier.leads !== null && harder.leads !== null && easier.leads.join() === harder.leads.join();
    if (ranged) found.push(["range", easier.range, harder.range, 0, harder.rangeNarrow]);
    const shared = easier.works.some((action) => harder.works.includes(action));
    if (!(ranged && harder.lengtheningIsRange) && shared) {
      found.push(["lengthening", easier.lengthening, harder.lengthening, 0, harder.lengtheningNarrow]);
    }
    found.push(["speed", easier.speed, harder.speed, floorOf("speed", aim, rules), false]);
    found.push(["stability", easier.stability, harder.stability, 0, false]);
    if (easier.volume !== null && harder.volume !== null) {
      found.push(["volume", easier.volume, harder.volume, floorOf("volume", aim, rules), false]);
    }
    return found;
  }

  /** @param {Profile} easier @param {Profile} harder @param {Aim} aim @param {Rules} rules */
  function elsewhere(easier, harder, aim, rules) {
    if (!easier.others.size || !harder.others.size) return null;
    /** @type {[number, string, number, number, number] | null} */
    let best = null;
    for (const [name, b] of harder.others) {
      const a = easier.others.get(name);
      const weight = name.startsWith("weight on");
      if (a === undefined && !weight) continue;
      const little = /** @type {AxisRule} */ (rules.axes.get("bearing")).little;
      const floor = weight ? little : floorOf("elsewhere", aim, rules);
      const ratio = nine(Math.max(b, floor) / Math.max(a || 0, floor));
      if (!best || ratio > best[0] || (ratio === best[0] && name < best[1])) best = [ratio, name, a || 0, b, floor];
    }
    return best;
  }

  /** @param {number} size */
  function missing(size) {
    return Math.max(0, Math.ceil(size - TOLERANCE) - 1);
  }

  /**
   * @param {Profile} easier @param {Profile} harder @param {Limits} limits @param {Rules} rules
   * @param {Aim | null} [given] @param {string[]} [works]
   * @returns {Step}
   */
  function between(easier, harder, limits, rules, given, works) {
    const about = works || [];
    const aim = given || aimOf(harder, about, rules);
    /** @type {Map<string, AxisStep>} */
    const axes = new Map();
    const groups = new Set();
    for (const [axis, a, b, floor, narrow] of values(easier, harder, aim, about, rules)) {
      const rule = /** @type {AxisRule} */ (rules.axes.get(axis));
      const limit = (narrow ? limits.narrow : limits.wide).get(axis);
      if (limit === undefined) continue;
      axes.set(axis, { from: a, to: b, limit, size: axisSize(axis, a, b, limit, floor, rules) });
      if (rule.group && rises(axis, a, b, floor, rules)) groups.add(rule.group);
    }
    const most = limits.wide.get("changes");
    if (most !== undefined) {
      axes.set("changes", { from: 0, to: groups.size, limit: most,
        size: axisSize("changes", 0, groups.size, most, 0, rules) });
    }
    const other = elsewhere(easier, harder, aim, rules);
    const mostElsewhere = limits.wide.get("elsewhere");
    if (other && mostElsewhere !== undefined) {
      axes.set("elsewhere", { from: other[2], to: other[3], limit: mostElsewhere,
        size: axisSize("elsewhere", other[2], other[3], mostElsewhere, other[4], rules) });
    }
    let worst = "demand";
    let size = -1;
    for (const [axis, one] of axes) {
      if (axis !== "changes" && axis !== "elsewhere" && one.size > size) [worst, size] = [axis, one.size];
    }
    size = Math.max(size, 0);
    return { axes, size, missing: missing(size), worst, risen: GROUPS.filter((group) => groups.has(group)),
      elsewhere: other ? other[1] : null };
  }

  rungbook.steps = { between, moment, aimOf, floorOf, rises, axisSize, missing, workedOn, values, elsewhere };
})();
