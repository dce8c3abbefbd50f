// @ts-check
"use strict";
/**
 * What a patient cannot do today: the same objections as `ladder/filters.py`.
 *
 * @typedef {Object} Feature what filters ask about one exercise, from `data/graph.js`
 * @property {string} id
 * @property {string} title
 * @property {string} position
 * @property {string[]} equipment
 * @property {string[]} cautions
 * @property {number | null} bearing share of body weight on the working limb
 * @property {[string, number[]][]} angles "working hip flexion" and its angle at each phase, °
 * @property {{key: string, time: any, until: number, words: string}[]} breaks what is broken of the orders
 * @property {string | null} area
 * @property {string} [dose] in one line
 * @property {{action: string, word: string, named: boolean}[] | null} kinds of all that works, named first; null where not known
 *
 * @typedef {Object} Filters
 * @property {Set<string>} without
 * @property {Set<string>} notIn
 * @property {Set<string>} avoid
 * @property {{joint: string, movement: string, axis: string, sign: number, most: number, relation: string, text: string, title: string}[]} never
 * @property {number | null} bearing
 * @property {Set<string>} restrictions
 * @property {Set<string>} kinds the only kinds of work allowed, where any are
 * @property {Set<string>} areas the only areas, where any are
 * @property {number | null} weeks since the operation
 * @property {Set<string>} lifted orders of which the surgeon or a criterion has ended what only they end
 *
 * @typedef {{filter: string, value: string, title: string, words: string, until: number}} Objection a
 *   limit that is passed, by its filter and value, and how far the movement may go to keep it
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  /** Files are read once, however often somebody asks. @type {WeakMap<any, any>} */
  const known = new WeakMap();
  const { END, NOWHERE, PHASES } = rungbook.limits;
  const MIDLINE = new Set(["lumbar", "neck"]);
  const SETTLING = 0.5;
  const BEARING_TOLERANCE = 0.005;

  /**
   * The features of exercises, each made when it is first asked for.
   * @param {any} graph `data/graph.js` @param {any} library `data/library.js`
   * @param {any} [angles] `data/angles.js`, where a filter asks for angles
   */
  function features(graph, library, angles) {
    const all = known.get(graph) || makeFeatures(graph, library);
    known.set(graph, all);
    if (angles) all.addAngles(angles);
    return all;
  }

  /** @param {any} graph @param {any} library */
  function makeFeatures(graph, library) {
    /** @type {Map<string, number>} */
    const numbers = new Map(graph.exercises.map((/** @type {any[]} */ row, /** @type {number} */ i) => [row[0], i]));
    /** @type {Map<string, Feature>} */
    const made = new Map();
    /** @type {any} */
    let angles = null;
    /** @param {number} number @returns {Feature} */
    const make = (number) => {
      const [id, title, position, equipment, cautions, bearing, breaks, kinds, area, dose] = graph.exercises[number];
      return {
        id,
        title,
        position: library.positions[position][0],
        equipment: equipment.map((/** @type {number} */ i) => library.equipment[i][0]),
        cautions: cautions.map((/** @type {number} */ i) => library.cautions[i][0]),
        bearing,
        angles: (angles ? angles.rows[number] : []).map((/** @type {any[]} */ [axis, ...curve]) => [angles.axes[axis], spread(curve)]),
        breaks: breaksOf(breaks, library),
        area: area === undefined || area < 0 ? null : library.areas[area][0],
        kinds: kindsOf(kinds, library),
        dose: dose || "",
      };
    };
    /** @param {string} id @returns {Feature | undefined} */
    const get = (id) => {
      const number = numbers.get(id);
      if (number === undefined) return undefined;
      const before = made.get(id);
      if (before) return before;
      const feature = make(number);
      made.set(id, feature);
      return feature;
    };
    return {
      get,
      has: (/** @type {string} */ id) => numbers.has(id),
      values: () => [...numbers.keys()].map((id) => /** @type {Feature} */ (get(id))),
      addAngles: (/** @type {any} */ file) => {
        if (angles) return;
        angles = file;
        made.clear();
      },
    };
  }

  /** An angle at every phase; a still one is told once. @param {number[]} curve @returns {number[]} */
  const spread = (curve) => (curve.length === 1 ? new Array(PHASES).fill(curve[0]) : curve);

  /** What is broken of the orders: see `breaks_record`. @param {any[]} breaks @param {any} library */
  function breaksOf(breaks, library) {
    return breaks.map(([number, when, until, words]) => {
      const [key, , , times] = library.restrictions[number];
      return { key, time: when < 0 ? null : times[when], until, words };
    });
  }

  /** Action and kind of work of each number: see `kinds_record`. @param {number[] | null} kinds @param {any} library */
  function kindsOf(kinds, library) {
    return kinds && kinds.map((number) => ({ action: library.actions[number >> 4][0],
      word: library.kindsOfWork[(number >> 1) & 7], named: (number & 1) === 1 }))
      .sort((a, b) => Number(b.named) - Number(a.named));
  }

  /**
   * Why the kind of work is not among those allowed; null where it is.
   * @param {Filters} filters @param {Feature} one @returns {string | null}
   */
  function wrongKind(filters, one) {
    if (!filters.kinds.size) return null;
    if (!one.kinds) return "its kind of work is not known";
    const limited = new Set(filters.never.map((limit) => limit.joint));
    const judged = one.kinds.filter((each) => each.named || limited.has(each.action.split(" ")[0].replace(/^other-/, "")));
    const wrong = judged.find((each) => !filters.kinds.has(each.word));
    if (wrong) return `its ${wrong.action.replace(/-/g, " ")} is ${wrong.word}`;
    return filters.kinds.has("none") || judged.some((each) => each.named) ? null : "nothing that it names has to act";
  }

  /** The file of angles where these filters ask for it. @param {Filters} filters @returns {Promise<any>} */
  async function anglesFor(filters) {
    return filters.never.length ? rungbook.load("angles") : null;
  }

  /** @param {any[][]} pairs @param {string} key @returns {string} */
  function titleOf(pairs, key) {
    const found = pairs.find((pair) => pair[0] === key);
    return found ? found[1] : key.replace(/-/g, " ");
  }

  /**
   * Every limit that an exercise passes, in the order of `ladder/filters.py`.
   * @param {Filters} filters @param {Feature} one @param {any} library @returns {Objection[]}
   */
  function objections(filters, one, library) {
    /** @type {Objection[]} */
    const found = [];
    const add = (/** @type {string} */ filter, /** @type {string} */ value, /** @type {string} */ title,
      /** @type {string} */ words, until = NOWHERE) => found.push({ filter, value, title, words, until });
    const lower = (/** @type {any[][]} */ pairs, /** @type {string} */ key) => titleOf(pairs, key).toLowerCase();
    if (filters.areas.size && !(one.area && filters.areas.has(one.area))) {
      add("area", [...filters.areas].sort().join(" "), `only ${[...filters.areas].sort().join(", ")}`, "is of another area");
    }
    for (const key of one.equipment.filter((each) => filters.without.has(each)).sort()) {
      add("without", key, `without ${key}`, `needs ${lower(library.equipment, key)}`);
    }
    if (filters.notIn.has(one.position)) {
      add("not-in", one.position, `not in ${one.position}`, `is done in ${lower(library.positions, one.position)}`);
    }
    for (const key of one.cautions.filter((each) => filters.avoid.has(each)).sort()) {
      add("avoid", key, `avoiding ${key}`, `carries the caution ${lower(library.cautions, key)}`);
    }
    for (const limit of filters.never) {
      const passed = passedAngle(one, limit);
      if (passed) {
        add("max", limit.text, limit.title,
          `its ${limit.joint} ${limit.movement.replace(/-/g, " ")} goes to ${Math.round(passed.far)}°, ${limit.relation} ${limit.most}° is not allowed`, passed.until);
      }
    }
    if (filters.bearing !== null && one.bearing !== null && one.bearing > filters.bearing + BEARING_TOLERANCE) {
      add("bearing", String(filters.bearing), `bearing over ${Number((100 * filters.bearing).toFixed(6))} %`, `bears ${Math.round(one.bearing * 100)} % of body weight`);
    }
    const kind = wrongKind(filters, one);
    if (kind) {
      const words = library.kindsOfWork.filter((/** @type {string} */ word) => filters.kinds.has(word));
      add("kind-of-work", words.join(" "), `only ${words.join(", ")} work`, kind);
    }
    for (const key of [...filters.restrictions].sort()) {
      const broken = strictest(one.breaks.filter((each) => each.key === key &&
        (each.time === null || rungbook.limits.inForce(each.time, filters.weeks, filters.lifted.has(key)))));
      if (broken) add("restriction", key, `restriction ${key}`, `breaks ${titleOf(library.restrictions, key)}: ${broken.words}`, broken.until);
    }
    return found;
  }

  /** What leaves least of the movement, the first of equal ones. @template {{until: number}} T @param {T[]} limits @returns {T | null} */
  function strictest(limits) {
    return limits.reduce((least, one) => (!least || one.until < least.until ? one : least), /** @type {T | null} */ (null));
  }

  /** Why an exercise is left out: the first limit that it passes. @param {Filters} filters @param {Feature} one @param {any} library @returns {Objection | null} */
  const objection = (filters, one, library) => objections(filters, one, library)[0] || null;

  /**
   * How far a limit on an angle is passed, of either side, and how far the movement may go; null where it is kept.
   * @param {Feature} one @param {any} limit
   * @returns {{far: number, until: number} | null}
   */
  function passedAngle(one, limit) {
    const found = [];
    const axis = limit.joint + " " + limit.axis;
    for (const side of ["working ", "other "]) {
      const curves = one.angles.filter(([name]) => name === side + axis || name === axis).map(([, curve]) => curve);
      // Of an exercise with a load, an axis of a limb that is not told is zero throughout.
      if (!curves.length && one.bearing !== null && !MIDLINE.has(limit.joint)) curves.push(spread([0]));
      for (const curve of curves) {
        const toward = curve.map((angle) => limit.sign * angle);
        const over = limit.relation === "over" ? 1 : -1;
        const until = rungbook.limits.firstCrossing([toward.map((angle) => over * (angle - limit.most))], SETTLING);
        if (until < END) found.push({ far: over * Math.max(...toward.map((angle) => over * angle)), until });
      }
    }
    return strictest(found);
  }

  /** The limits set, as far as they can be read: `asked.js` tells what cannot. @param {any} library @returns {Filters} */
  function fromState(library) {
    const state = rungbook.state;
    return {
      without: new Set(state.all("without")),
      notIn: new Set(state.all("not-in")),
      avoid: new Set(state.all("avoid")),
      never: state.all("max").map((/** @type {string} */ text) => limit(text, library)).filter(Boolean),
      bearing: rungbook.asked.share(state.get("bearing") || "") ? Number(state.get("bearing")) / 100 : null,
      restrictions: new Set(state.all("restriction")),
      kinds: new Set(state.all("kind-of-work").filter((/** @type {string} */ word) => library.kindsOfWork.includes(word))),
      areas: new Set(state.all("area")),
      weeks: weeks(state.get("since") || ""),
      lifted: new Set(state.all("lifted")),
    };
  }

  /** Weeks since the operation, as typed; null where nothing usable is. @param {string} text */
  function weeks(text) {
    const value = Number(text.trim().replace(",", "."));
    return text.trim() !== "" && value >= 0 && value <= 520 ? value : null;
  }

  /**
   * `hip flexion=90`; extension of knee and elbow counts in degrees of flexion, as orders do.
   * @param {string} text @param {any} library
   */
  function limit(text, library) {
    const match = /^\s*(\S+) (\S+)\s*=\s*(-?\d+(?:\.\d+)?)\s*$/.exec(text);
    if (!match) return null;
    const flexion = library.countedInFlexion.includes(`${match[1]} ${match[2]}`);
    const movement = flexion ? "flexion" : match[2];
    const found = library.movements.find((/** @type {any[]} */ row) => row[0] === `${match[1]} ${movement}`);
    if (!found) return null;
    const [relation, most] = [flexion ? "under" : "over", Number(match[3])];
    return { joint: match[1], movement, axis: found[1], sign: found[2], most, relation,
      text: `${match[1]} ${match[2]}=${most}`, title: `${match[1]} ${movement} ${relation} ${most}°` };
  }

  /** Whether anything is limited that only the load tells. @param {Filters} filters */
  const aboutLoad = (filters) => filters.never.length > 0 || filters.restrictions.size > 0 || filters.kinds.size > 0 || filters.bearing !== null;

  rungbook.filters = { features, anglesFor, objection, objections, strictest, aboutLoad, fromState, kindsOf, breaksOf, spread, weeks, limit, titleOf };
})();
