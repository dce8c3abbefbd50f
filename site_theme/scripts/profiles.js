// @ts-check
"use strict";
/** Profiles and rules from the data files, as `steps.js` takes them. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  /** Files are read once, however often somebody asks. @type {WeakMap<any, Map<string, any>>} */
  const known = new WeakMap();

  /**
   * What stands of the joints of a row, by name.
   * @param {any} row @param {string[]} axes
   */
  function jointsOf(row, axes) {
    const directed = new Map();
    const extremes = new Map();
    for (const [axis, up, down, low, high] of row.joints || []) {
      directed.set(axes[axis], [up, down]);
      extremes.set(axes[axis], [low, high]);
    }
    const others = new Map();
    for (const axis of row.others || []) {
      const name = axes[axis];
      others.set(name.replace(/^working /, ""), Math.max(...(directed.get(name) || [0])));
    }
    for (const [name, value] of row.weights || []) others.set(name, value);
    const hard = new Set((row.hard || []).map((/** @type {number} */ axis) => axes[axis].replace(/^working /, "")));
    return { directed, extremes, others, hard };
  }

  /** One profile; its joints are read when they are asked for, which of most they never are. @param {any} row @param {string[]} axes */
  function profile(row, axes) {
    /** @type {any} */
    let read = null;
    const joints = () => (read = read || jointsOf(row, axes));
    const [rangeNarrow, lengtheningNarrow, lengtheningIsRange] = row.narrow;
    return {
      id: row.id, sides: row.sides, works: row.works || [], statics: !row.unknown, moments: new Map(row.moments || []),
      contracting: new Map(row.contracting || []),
      get directed() { return joints().directed; },
      get extremes() { return joints().extremes; },
      get others() { return joints().others; },
      get hard() { return joints().hard; },
      bearing: row.bearing || 0, limb: row.limb, impact: row.impact || 0, leads: row.leads || null,
      range: row.range || 0, rangeNarrow, lengthening: row.lengthening || 0, lengtheningNarrow,
      lengtheningIsRange, speed: row.speed || 0, stability: row.stability || 0,
      volume: row.volume === undefined ? null : row.volume,
      session: row.session === undefined ? null : row.session,
    };
  }

  /**
   * The profiles of a file, by id.
   * @param {{axes: string[], rows: any[]}} file
   * @returns {Map<string, any>}
   */
  function profiles(file) {
    const before = known.get(file);
    if (before) return before;
    const found = new Map();
    known.set(file, found);
    for (const row of file.rows) found.set(row.id, profile(row, file.axes));
    return found;
  }

  /** @param {{wide: [string, number][], narrow: [string, number][]}} record */
  const limitsOf = (record) => ({ wide: new Map(record.wide), narrow: new Map(record.narrow) });

  /** The rules of `data/library.js`. @param {any} library */
  function rules(library) {
    return {
      axes: new Map(library.axes),
      axisOf: new Map(library.actions),
      floorShare: library.floorShare,
      smallestStandard: library.smallestStandard,
      everyAxis: limitsOf(library.everyAxis),
    };
  }

  /** A ladder's scale; null where demand is off. @param {any} ladder */
  function scaleOf(ladder) {
    const ratio = new Map(ladder.limits.wide).get("demand");
    return ratio === undefined ? null : { standards: new Map(ladder.scale || []), ratio };
  }

  /**
   * By what steps with an exercise are measured: its ladder, else the library's limits and itself.
   * @param {any} library @param {any} ladder or null @param {any} here the profile of the exercise
   */
  function ruler(library, ladder, here) {
    const known = rules(library);
    const limits = limitsOf((ladder || library).limits);
    if (ladder) {
      const aim = ladder.aim && { demand: ladder.aim[0], speed: ladder.aim[1], volume: ladder.aim[2] };
      return { limits, aim, scale: scaleOf(ladder) };
    }
    const ratio = limits.wide.get("demand");
    return { limits, aim: rungbook.steps.aimOf(here, [], known),
      scale: ratio === undefined ? null : rungbook.steps.scaleFor(here, ratio, known) };
  }

  rungbook.profiles = { profiles, rules, limitsOf, scaleOf, ruler };
})();
