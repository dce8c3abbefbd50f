// @ts-check
"use strict";
/**
 * The size of the step between two exercises: the same numbers as `ladder/steps.py`.
 *
 * @typedef {Object} Profile as `ladder/profile.py`; moments N·m, angles °, speeds °/s, volume s
 * @property {string} id
 * @property {string[]} works actions such as "hip abduction" or "other-knee flexion"
 * @property {boolean} statics whether statics gives moments at all
 * @property {Map<string, number>} moments
 * @property {Map<string, [number, number]>} directed joint axis -> greatest moment either way
 * @property {Map<string, number>} others
 * @property {Set<string>} hard of the others, where muscles work hard
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
 * @typedef {{from: number, to: number, limit: number, size: number, change: number, works?: string,
 *   prepared?: number}} AxisStep as `ladder/step.py`
 * @typedef {{axes: Map<string, AxisStep>, size: number, missing: number, worst: string,
 *   risen: string[], elsewhere: string | null}} Step
 * @typedef {{kind: string, little: number, group: string | null, floor: number | null}} AxisRule
 * @typedef {{axes: Map<string, AxisRule>, axisOf: Map<string, [string, string, number]>,
 *   floorShare: number, smallestStandard: number}} Rules
 * @typedef {{wide: Map<string, number>, narrow: Map<string, number>}} Limits
 * @typedef {{demand: number, speed: number, volume: number}} Aim
 * @typedef {{standards: Map<string, number>, ratio: number}} Scale N·m of each standard exercise
 * @typedef {{limits: Limits, aim?: Aim | null, scale?: Scale | null}} Ruler
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
    if (!profile.statics) return null;
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

  /** How many steps high a load is: φ of `ladder/scale.py`. @param {number} standard @param {number} ratio @param {number} nm */
  function height(standard, ratio, nm) {
    const half = standard / 2;
    return nm <= half ? nm / ((ratio - 1) * half) : 1 / (ratio - 1) + Math.log(nm / half) / Math.log(ratio);
  }

  /** A load at a height, N·m. @param {number} standard @param {number} ratio @param {number} high */
  function loadAt(standard, ratio, high) {
    const [half, linear] = [standard / 2, 1 / (ratio - 1)];
    return high <= linear ? high * (ratio - 1) * half : half * ratio ** (high - linear);
  }

  /** What the harder end itself demands, fixed for a whole question. @param {Profile} goal @param {number} ratio @param {Rules} rules @returns {Scale} */
  function scaleFor(goal, ratio, rules) {
    const found = goal.works.map((action) => /** @type {[string, number]} */ ([action, moment(goal, action, rules) || 0]));
    return { standards: new Map(found.filter(([, nm]) => nm >= rules.smallestStandard)), ratio };
  }

  /** The scale of two exercises off every ladder. @param {Profile} easier @param {Profile} harder @param {number} ratio @param {Rules} rules @returns {Scale} */
  function scaleBetween(easier, harder, ratio, rules) {
    for (const actions of [harder.works, easier.works]) {
      const standards = new Map();
      for (const action of actions) {
        const pair = [moment(harder, action, rules), moment(easier, action, rules)];
        const usable = pair.filter((nm) => nm !== null && nm >= rules.smallestStandard);
        if (!pair.includes(null) && usable.length) standards.set(action, usable[0]);
      }
      if (standards.size) return { standards, ratio };
    }
    return { standards: new Map(), ratio };
  }

  /** The loads known about the actions of a scale. @param {Profile} one @param {Scale} scale @param {Rules} rules */
  function momentsOn(one, scale, rules) {
    const found = [...scale.standards.keys()].map((action) => [action, moment(one, action, rules)]);
    return new Map(/** @type {[string, number][]} */ (found.filter(([, nm]) => nm !== null)));
  }

  /**
   * What the way to each rung has prepared, N·m by action.
   * @param {string[]} rungs easiest first @param {Map<string, string[]>} below
   * @param {Set<string>} entries @param {Map<string, Map<string, number>>} moments own loads, by rung
   * @returns {Map<string, Map<string, number>>}
   */
  function prepared(rungs, below, entries, moments) {
    const found = new Map();
    for (const rung of rungs) {
      const before = entries.has(rung) ? [] : (below.get(rung) || []).filter((one) => found.has(one)).map((one) => found.get(one));
      const own = moments.get(rung) || new Map();
      const actions = new Set([...own.keys(), ...before.flatMap((one) => [...one.keys()])]);
      found.set(rung, new Map([...actions].map((action) => {
        const least = before.filter((one) => one.has(action)).map((one) => one.get(action));
        return [action, Math.max(own.get(action) || 0, least.length ? Math.min(...least) : 0)];
      })));
    }
    return found;
  }

  /** @param {string} axis @param {Aim} aim @param {Rules} rules */
  function floorOf(axis, aim, rules) {
    const rule = /** @type {AxisRule} */ (rules.axes.get(axis));
    const value = axis === "elsewhere" ? aim.demand : axis === "speed" ? aim.speed : aim.volume;
    return rule.kind === "ratio" ? Math.max(rule.floor || 0, rules.floorShare * value) : 0;
  }

  /** @param {string} axis @param {number} a @param {number} b @param {number} limit @param {number} floor @param {Rules} rules */
  function axisSize(axis, a, b, limit, floor, rules) {
    const rule = /** @type {AxisRule} */ (rules.axes.get(axis));
    if (rule.kind === "ratio") {
      return nine(Math.max(0, Math.log(Math.max(b, floor) / Math.max(a, floor)) / Math.log(limit)));
    }
    return nine(Math.max(0, (b - a) / limit));
  }

  /** Whether an axis other than demand rises by more than a little. @param {string} axis @param {number} a @param {number} b @param {number} floor @param {Rules} rules */
  function rises(axis, a, b, floor, rules) {
    const rule = /** @type {AxisRule} */ (rules.axes.get(axis));
    if (b <= a) return false;
    if (rule.kind !== "rise") return Math.max(b, floor) / Math.max(a, floor) > rule.little + 1e-6;
    return b - a > rule.little + 1e-6;
  }

  /** @param {string} axis @param {number} a @param {number} b @param {Rules} rules */
  function falls(axis, a, b, rules) {
    return rises(axis, b, a, /** @type {AxisRule} */ (rules.axes.get(axis)).floor || 0, rules);
  }

  /**
   * The action on which the step is largest; of equal ones the one that asks for most.
   * @param {Profile} easier @param {Profile} harder @param {Scale} scale
   * @param {Map<string, number> | null | undefined} start what is prepared @param {Rules} rules
   * @returns {AxisStep | null}
   */
  function demandOf(easier, harder, scale, start, rules) {
    const [own, there] = [momentsOn(easier, scale, rules), momentsOn(harder, scale, rules)];
    const from = start || own;
    const little = /** @type {AxisRule} */ (rules.axes.get("demand")).little - 1;
    /** @type {AxisStep | null} */
    let found = null;
    let best = [-1, -1];
    let [rising, falling, gaining] = [false, false, false];
    for (const [action, standard] of scale.standards) {
      const [a, b] = [from.get(action), there.get(action)];
      if (a === undefined || b === undefined) continue;
      const before = own.has(action) ? /** @type {number} */ (own.get(action)) : a;
      const high = height(standard, scale.ratio, b);
      const size = nine(Math.max(0, high - height(standard, scale.ratio, a)));
      rising = rising || b - a > little * Math.max(a, standard / 2) + 1e-6;
      falling = falling || falls("demand", before, b, rules);
      gaining = gaining || falls("demand", b, before, rules);
      if (size > best[0] || (size === best[0] && high > best[1])) {
        best = [size, high];
        found = { from: before, to: b, limit: scale.ratio, size, change: 0, works: action, prepared: a };
      }
    }
    return found && Object.assign(found, { change: rising ? 1 : falling && !gaining ? -1 : 0 });
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
   * Values on every comparable axis but demand: easier, harder, floor, narrow limit.
   * @param {Profile} easier @param {Profile} harder @param {Aim} aim @param {Rules} rules
   * @returns {[string, number, number, number, boolean][]}
   */
  function values(easier, harder, aim, rules) {
    /** @type {[string, number, number, number, boolean][]} */
    const found = [];
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
      if (!weight && (a === undefined || !harder.hard.has(name))) continue; // no hard work there is no reason to wait
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
   * @param {Profile} easier @param {Profile} harder @param {Ruler} ruler @param {Rules} rules
   * @param {Map<string, number> | null} [start] what the way to the easier has prepared
   * @returns {Step}
   */
  function between(easier, harder, ruler, rules, start) {
    const { limits } = ruler;
    const aim = ruler.aim || aimOf(harder, [], rules);
    /** @type {Map<string, AxisStep>} */
    const axes = new Map();
    const groups = new Set();
    const ratio = limits.wide.get("demand");
    const scale = ratio === undefined ? null : ruler.scale || scaleBetween(easier, harder, ratio, rules);
    const demand = scale && demandOf(easier, harder, scale, start, rules);
    if (demand) axes.set("demand", demand);
    if (demand && demand.change > 0) groups.add(/** @type {AxisRule} */ (rules.axes.get("demand")).group);
    for (const [axis, a, b, floor, narrow] of values(easier, harder, aim, rules)) {
      const rule = /** @type {AxisRule} */ (rules.axes.get(axis));
      const limit = (narrow ? limits.narrow : limits.wide).get(axis);
      if (limit === undefined) continue;
      const change = Number(rises(axis, a, b, floor, rules)) - Number(falls(axis, a, b, rules));
      axes.set(axis, { from: a, to: b, limit, size: axisSize(axis, a, b, limit, floor, rules), change });
      if (rule.group && change > 0) groups.add(rule.group);
    }
    const most = limits.wide.get("changes");
    if (most !== undefined) {
      axes.set("changes", { from: 0, to: groups.size, limit: most,
        size: axisSize("changes", 0, groups.size, most, 0, rules), change: 0 });
    }
    const other = elsewhere(easier, harder, aim, rules);
    const mostElsewhere = limits.wide.get("elsewhere");
    if (other && mostElsewhere !== undefined) {
      axes.set("elsewhere", { from: other[2], to: other[3], limit: mostElsewhere,
        size: axisSize("elsewhere", other[2], other[3], mostElsewhere, other[4], rules), change: 0 });
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

  rungbook.steps = { between, moment, momentsOn, aimOf, floorOf, rises, missing, workedOn, height, loadAt, scaleFor, prepared };
})();
