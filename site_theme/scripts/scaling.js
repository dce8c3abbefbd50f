// @ts-check
"use strict";
/**
 * The load of an exercise for another person: the same numbers as the engine's, from its
 * coefficients. M = a·m·H + b·H at each of the 11 phases, and what is added at a phase between
 * two body masses. Where furniture stands, coefficients are read between those of two statures,
 * and there are none where it does not fit; see `load/scaling.py`.
 *
 * @typedef {Object} Person
 * @property {number} mass kg
 * @property {number} stature m
 * @property {string} body the name of a segment table
 * @property {number | null} [age] years, where it is known
 *
 * @typedef {Object} Demand as `load/result.py`
 * @property {string} works
 * @property {number} peak N·m
 * @property {number} peakAt °
 * @property {number} perMass N·m/kg
 * @property {number} mean N·m
 * @property {number} impulse N·m·s a repetition
 * @property {[number, number, number]} contraction concentric, eccentric, held
 * @property {[string, number[]][]} curves by way, N·m
 * @property {number[]} curve of the way with the peak
 * @property {number[]} angles ° toward the action, of that way
 * @property {number} phase of the peak
 * @property {number | null} capacity share of the measured maximum
 * @property {string} basis statics or measured
 * @property {boolean} [outside] whether none of the movement lies in the tolerated arc
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const PHASES = 11;
  const STILL = 0.05;
  const QUIET = 1e-6; // N·m: a smaller moment is what rounding leaves
  const GRAVITY = 9.81;
  const FLOOR = 1;

  /** @param {any} rows @param {number} row @returns {number[]} */
  const at = (rows, row) => rows[row] || new Array(PHASES).fill(0);
  /** @param {any[][]} pairs @param {string} key */
  const of = (pairs, key) => (pairs.find((pair) => pair[0] === key) || [key, []])[1];

  /** @param {any} one @param {any} other @param {number} part how far from the one to the other @returns {any} */
  function between(one, other, part) {
    if (Array.isArray(one) || Array.isArray(other)) {
      const size = (Array.isArray(one) ? one : other).length;
      const value = (/** @type {any} */ rows, /** @type {number} */ i) => (Array.isArray(rows) ? rows[i] : rows);
      return Array.from({ length: size }, (_, i) => between(value(one, i), value(other, i), part));
    }
    return typeof one === "string" ? one : (1 - part) * one + part * other;
  }

  /** What is added between two masses, made smaller. @param {any} way @param {number} part */
  const weighed = (way, part) => (way.changes || []).map((/** @type {any[]} */ [table, changes]) =>
    [table, changes.map((/** @type {any[]} */ one) => [...one.slice(0, 3), ...one.slice(3).map((value) => between(0, value, part))])]);

  /** @param {any} low @param {any} high @param {number} part */
  function mixed(low, high, part) {
    /** @type {any} */
    const way = {};
    for (const key of ["a", "b", "c", "angles", "ends", "borne", "fixedBorne"]) {
      if (low[key]) way[key] = between(low[key], high[key], part);
    }
    const [less, more] = [weighed(low, 1 - part), weighed(high, part)];
    const tables = new Set([...less, ...more].map(([table]) => table));
    way.changes = [...tables].map((table) => [table, [...of(less, table), ...of(more, table)]]);
    return way;
  }

  /** @type {WeakMap<any, [number, any]>} */
  const read = new WeakMap();

  /** A way's coefficients for a person's stature; null where the furniture does not fit. @param {any} way @param {Person} person */
  function fitted(way, person) {
    if (!way.statures || person.stature === way.stature) return way;
    const before = read.get(way);
    if (before && before[0] === person.stature) return before[1];
    const found = atStature([...way.statures, [way.stature, way]].sort((one, two) => one[0] - two[0]), person.stature);
    read.set(way, [person.stature, found]);
    return found;
  }

  /** @param {any[][]} nodes @param {number} stature */
  function atStature(nodes, stature) {
    const above = nodes.findIndex(([height]) => height >= stature);
    if (above >= 0 && nodes[above][0] === stature) return nodes[above][1];
    if (above <= 0) return null;
    const [[low, lower], [high, higher]] = nodes.slice(above - 1, above + 1);
    return lower && higher ? mixed(lower, higher, (stature - low) / (high - low)) : null;
  }

  /** @param {any} way @param {Person} person */
  const own = (way, person) => fitted(way, person) || way;

  /** What is added to a way for a person: [phase, from kg, to kg, a, b, borne, fixed]. @param {any} way @param {Person} person @returns {any[][]} */
  const changesFor = (way, person) =>
    (way.changes ? of(way.changes, person.body) : []).filter((one) => one[1] <= person.mass && person.mass < one[2]);

  /** Moments about one row of a way, N·m. @param {any} anyone @param {number} row @param {Person} person @returns {number[]} */
  function momentsOf(anyone, row, person) {
    const way = own(anyone, person);
    const [a, b] = [at(of(way.a, person.body), row), at(of(way.b, person.body), row)];
    const size = person.mass * person.stature;
    const found = a.map((value, i) => value * size + b[i] * person.stature);
    for (const [phase, , , more, fixed] of changesFor(way, person)) {
      found[phase] += more[row] * size + fixed[row] * person.stature;
    }
    return found;
  }

  /** Moments about one action, N·m, positive where its muscles must act. @param {any} record @param {any} way @param {number} index @param {Person} person */
  function moments(record, way, index, person) {
    const sign = record.actions[index][1];
    return momentsOf(way, index, person).map((value) => sign * value);
  }

  /** @param {number[]} values by the trapezium rule */
  function mean(values) {
    const sum = values.reduce((total, value) => total + value, 0);
    return (sum - 0.5 * (values[0] + values[values.length - 1])) / (values.length - 1);
  }

  /** @param {[string, number[]][]} curves @param {any} tempo */
  function bothWays(curves, tempo) {
    const both = curves.find(([way]) => way === "both");
    if (both) return [both[1], both[1]];
    const order = tempo.upFirst ? ["up", "down"] : ["down", "up"];
    return order.map((name) => /** @type {[string, number[]]} */ (curves.find(([way]) => way === name))[1]);
  }

  /** ∫|M|dt of one repetition. @param {any} tempo @param {number[]} there @param {number[]} back */
  function impulse(tempo, there, back) {
    const ways = tempo.there * mean(there.map(Math.abs)) + tempo.back * mean(back.map(Math.abs));
    const pause = tempo.pause * Math.abs(there[tempo.upFirst ? PHASES - 1 : 0]);
    return ways + pause + tempo.hold * Math.abs(there[PHASES - 1]);
  }

  /** @param {[string, number[]][]} curves @param {[string, number[]][]} angles @param {any} tempo @returns {[number, number, number]} */
  function contraction(curves, angles, tempo) {
    const total = tempo.there + tempo.back + tempo.pause + tempo.hold;
    /** @type {[number, number, number]} */
    const shares = [0, 0, 0];
    if (total <= 0) return shares;
    const [there, back] = bothWays(curves, tempo);
    const [angleThere, angleBack] = bothWays(angles, tempo);
    for (const [curve, angle, seconds, direction] of [[there, angleThere, tempo.there, 1], [back, angleBack, tempo.back, -1]]) {
      const part = seconds / total / (PHASES - 1);
      for (let i = 0; i + 1 < PHASES; i += 1) {
        const acts = Math.min(Math.max(0.5 * (Math.sign(curve[i]) + Math.sign(curve[i + 1])), 0), 1);
        const change = direction * (angle[i + 1] - angle[i]);
        shares[change > STILL ? 0 : change < -STILL ? 1 : 2] += part * acts;
      }
    }
    shares[2] += (tempo.pause / total) * (there[tempo.upFirst ? PHASES - 1 : 0] > 0 ? 1 : 0);
    shares[2] += (tempo.hold / total) * (there[PHASES - 1] > 0 ? 1 : 0);
    return shares;
  }

  /**
   * The part of a curve within a tolerated arc, its ends interpolated.
   * @param {number[]} angles @param {number[]} curve @param {[number, number] | null} arc
   * @returns {{angle: number, moment: number, phase: number}[]}
   */
  function within(angles, curve, arc) {
    const points = angles.map((angle, phase) => ({ angle, moment: curve[phase], phase }));
    if (!arc) return points;
    const [low, high] = arc[0] < arc[1] ? arc : [arc[1], arc[0]];
    const kept = [];
    for (let i = 0; i < points.length; i += 1) {
      if (points[i].angle >= low && points[i].angle <= high) kept.push(points[i]);
      if (i + 1 === points.length) break;
      const [one, two] = [points[i], points[i + 1]];
      const ends = [low, high].filter((end) => (one.angle - end) * (two.angle - end) < 0);
      if (two.angle < one.angle) ends.reverse();
      for (const end of ends) {
        const share = (end - one.angle) / (two.angle - one.angle);
        kept.push({ angle: end, moment: one.moment + share * (two.moment - one.moment), phase: i + share });
      }
    }
    return kept;
  }

  /**
   * @param {any} record the `scaling` of an exercise's data @param {Person} person
   * @param {Map<string, number>} [capacities] measured maxima in N·m, by action
   * @param {Map<string, [number, number]>} [arcs] tolerated arcs in °, by action
   * @returns {{demands: Demand[], withheld: string | null, bearing: number, volume: number,
   *   inertial: number, shown: any}} `shown` is the way with the peak
   */
  function load(record, person, capacities, arcs) {
    const known = capacities || new Map();
    let withheld = whyWithheld(record, person, known);
    const { tempo } = record;
    /** @type {Demand[]} */
    let demands = record.works.map((/** @type {string} */ works) => demandOf(record, works, person, known, arcs || new Map()));
    if (withheld) demands = published(record, person, tempo);
    const missed = demands.find((one) => one.outside);
    if (missed) {
      // No number is not a load of nothing.
      demands = demands.filter((one) => !one.outside);
      const [from, to] = [...(arcs || new Map()).get(missed.works)].sort((a, b) => a - b);
      if (!demands.length) withheld = `no part of this movement lies between ${from}° and ${to}°`;
    }
    const main = demands.reduce((best, one) => (best === null || one.peak > best.peak ? one : best), /** @type {Demand | null} */ (null));
    const shown = shownWay(record, main, person);
    return {
      demands,
      withheld,
      bearing: bearing(shown, main, person),
      shown,
      volume: Math.max(0, ...demands.map((one) => one.impulse)) * tempo.repetitions * tempo.sessions,
      inertial: record.moves ? inertial(record, main, person) : 0,
    };
  }

  /** @param {any} record @param {Person} person @param {Map<string, number>} capacities */
  function whyWithheld(record, person, capacities) {
    if (record.stopped) return record.stopped;
    const effort = Math.max(...record.ways.map((/** @type {any} */ way) => way.effort));
    if (effort > 0 && !record.works.some((/** @type {string} */ works) => capacities.has(works))) {
      return `its load is ${Math.round(effort * 100)}% of a measured maximum: give the maximum to see it`;
    }
    return record.ways.every((/** @type {any} */ way) => fitted(way, person)) ? null : whyNone(record, person);
  }

  /** @param {any} record @param {Person} person */
  function whyNone(record, person) {
    const way = record.ways.find((/** @type {any} */ one) => one.statures);
    const heights = [way.stature, ...way.statures.map((/** @type {any[]} */ [height]) => height)];
    const [least, most] = [Math.min(...heights), Math.max(...heights)];
    if (least <= person.stature && person.stature <= most) return `does not fit a person of ${person.stature.toFixed(2)} m`;
    return `its furniture is computed for ${least.toFixed(2)} to ${most.toFixed(2)} m`;
  }

  /** @param {any} record @param {string} works @param {Person} person @param {Map<string, number>} capacities @param {Map<string, [number, number]>} arcs @returns {Demand} */
  function demandOf(record, works, person, capacities, arcs) {
    const index = record.actions.findIndex((/** @type {any[]} */ pair) => pair[0] === works);
    const capacity = capacities.get(works);
    /** @type {[string, number[]][]} */
    const curves = record.ways.map((/** @type {any} */ way) => {
      const plain = record.passive ? new Array(PHASES).fill(0) : moments(record, way, index, person);
      const added = !record.passive && way.effort && capacity ? way.effort * capacity : 0;
      return [way.way, plain.map((value) => (Math.abs(value + added) < QUIET ? 0 : value + added))];
    });
    /** @type {[string, number[]][]} */
    const angles = record.ways.map((/** @type {any} */ way) =>
      [way.way, at(own(way, person).angles, index).map((/** @type {number} */ angle) => record.actions[index][1] * angle)]);
    const arc = arcs.get(works) || null;
    const tops = curves.map(([, curve], i) => {
      const points = within(angles[i][1], curve, arc);
      return points.reduce((best, one) => (best === null || one.moment > best.moment ? one : best), /** @type {any} */ (null));
    });
    let worst = 0;
    tops.forEach((top, i) => {
      if (top && (!tops[worst] || top.moment > tops[worst].moment)) worst = i;
    });
    const top = tops[worst] || { angle: angles[worst][1][0], moment: 0, phase: 0 };
    const peak = Math.max(0, top.moment);
    const [there, back] = bothWays(curves, record.tempo);
    return {
      works, peak, peakAt: top.angle, phase: top.phase, perMass: peak / person.mass,
      mean: mean(curves[worst][1].map((value) => Math.max(value, 0))),
      impulse: impulse(record.tempo, there, back),
      contraction: contraction(curves, angles, record.tempo),
      curves, curve: curves[worst][1], angles: angles[worst][1],
      capacity: capacity ? peak / capacity : null, basis: "statics", outside: arc !== null && !tops.some(Boolean),
    };
  }

  /** Published figures, where statics gives no number. @param {any} record @param {Person} person @param {any} tempo @returns {Demand[]} */
  function published(record, person, tempo) {
    /** @type {Demand[]} */
    const found = [];
    for (const [works, value, perMass] of record.measured) {
      if (!record.works.includes(works) || found.some((one) => one.works === works)) continue;
      const peak = value * (perMass ? person.mass : 1);
      const curve = new Array(PHASES).fill(peak);
      const flat = new Array(PHASES).fill(0);
      found.push({ works, peak, peakAt: 0, phase: 0, perMass: peak / person.mass, mean: peak,
        impulse: impulse(tempo, curve, curve), contraction: [0, 0, 0], curves: [["both", curve]], curve,
        angles: flat, capacity: null, basis: "measured" });
    }
    return found;
  }

  /** The way whose posture and forces are shown: the one with the peak demand. @param {any} record @param {Demand | null} main @param {Person} person */
  function shownWay(record, main, person) {
    let way = record.ways[0];
    if (!main || main.basis === "measured") return way;
    const index = record.actions.findIndex((/** @type {any[]} */ pair) => pair[0] === main.works);
    let best = -Infinity;
    for (const one of record.ways) {
      const top = Math.max(...moments(record, one, index, person));
      if (top > best) [best, way] = [top, one];
    }
    return way;
  }

  /** Share of body weight through the working limb. @param {any} anyone @param {Demand | null} main @param {Person} person */
  function bearing(anyone, main, person) {
    const way = own(anyone, person);
    const phase = main ? Math.round(main.phase) : 0;
    const [per, fixed] = [of(way.borne, person.body), of(way.fixedBorne, person.body)];
    const total = [0, 1, 2].map((i) => at(per, i)[phase] * person.mass + at(fixed, i)[phase]);
    for (const [when, , , , , borne, rest] of changesFor(way, person)) {
      if (when === phase) total.forEach((_, i) => { total[i] += borne[i] * person.mass + rest[i]; });
    }
    return Math.hypot(...total) / (person.mass * GRAVITY);
  }

  /** Greatest inertial moment over the static peak, for the greatest demand. @param {any} record @param {Demand | null} main @param {Person} person */
  function inertial(record, main, person) {
    if (!main || main.basis === "measured") return 0;
    const index = record.actions.findIndex((/** @type {any[]} */ pair) => pair[0] === main.works);
    const factor = (person.mass * person.stature ** 2) / record.tempo.fastest ** 2;
    const peaks = record.ways.flatMap((/** @type {any} */ way) =>
      at(of(own(way, person).c, person.body), index).map((/** @type {number} */ value) => Math.abs(value * factor)));
    return Math.max(0, ...peaks) / Math.max(main.peak, FLOOR);
  }

  /** The peak about any of the record's actions on the way shown, as a profile has it. @param {any} record @param {any} shown @param {string} action @param {Person} person */
  function peakAbout(record, shown, action, person) {
    const index = record.actions.findIndex((/** @type {any[]} */ pair) => pair[0] === action);
    return index < 0 ? null : Math.max(0, ...moments(record, shown, index, person));
  }

  /**
   * Peak moment about every joint axis on the way shown, largest first.
   * @param {any} joints of `data/joints` @param {string} shown the way's name @param {Person} person
   * @returns {{name: string, peak: number, ends: [number, number]}[]}
   */
  function jointPeaks(joints, shown, person) {
    const way = joints.ways.find((/** @type {any} */ one) => one.way === shown) || joints.ways[0];
    return joints.names
      .map((/** @type {string} */ name, /** @type {number} */ row) => {
        const peak = Math.max(...momentsOf(way, row, person).map(Math.abs));
        return { name, peak, ends: own(way, person).ends[row] };
      })
      .sort((/** @type {any} */ one, /** @type {any} */ two) => two.peak - one.peak || (one.name < two.name ? -1 : 1));
  }

  rungbook.scaling = { load, moments, within, peakAbout, jointPeaks };
})();
