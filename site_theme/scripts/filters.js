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
 * @property {Map<string, [number, number]>} angles "working hip flexion" -> least and greatest, °
 * @property {Map<string, string>} breaks restriction -> how it is broken
 * @property {{action: string, word: string, named: boolean}[] | null} kinds of all that works, named first; null where not known
 *
 * @typedef {Object} Filters
 * @property {Set<string>} without
 * @property {Set<string>} notIn
 * @property {Set<string>} avoid
 * @property {{joint: string, movement: string, axis: string, sign: number, most: number}[]} never
 * @property {number | null} bearing
 * @property {Set<string>} restrictions
 * @property {Set<string>} kinds the only kinds of work allowed, where any are
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  /** Files are read once, however often somebody asks. @type {WeakMap<any, any>} */
  const known = new WeakMap();
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
      const [id, title, position, equipment, cautions, bearing, breaks, kinds] = graph.exercises[number];
      return {
        id,
        title,
        position: library.positions[position][0],
        equipment: equipment.map((/** @type {number} */ i) => library.equipment[i][0]),
        cautions: cautions.map((/** @type {number} */ i) => library.cautions[i][0]),
        bearing,
        angles: new Map((angles ? angles.rows[number] : []).map(
          (/** @type {number[]} */ [axis, low, high]) => [angles.axes[axis], [low, high]])),
        breaks: new Map(breaks.map((/** @type {any[]} */ [key, words]) => [library.restrictions[key][0], words])),
        kinds: kindsOf(kinds, library),
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

  /** @param {[string, string][]} pairs @param {string} key */
  function titleOf(pairs, key) {
    const found = pairs.find((pair) => pair[0] === key);
    return found ? found[1] : key.replace(/-/g, " ");
  }

  /**
   * Why an exercise is left out: the filter, its value and words; null where it is not.
   * @param {Filters} filters @param {Feature} one @param {any} library
   * @returns {{filter: string, value: string, words: string} | null}
   */
  function objection(filters, one, library) {
    const sorted = (/** @type {string[]} */ keys, /** @type {Set<string>} */ out) => keys.filter((key) => out.has(key)).sort();
    for (const key of sorted(one.equipment, filters.without)) {
      return { filter: "without", value: key, words: `needs ${titleOf(library.equipment, key).toLowerCase()}` };
    }
    if (filters.notIn.has(one.position)) {
      return { filter: "not-in", value: one.position, words: `is done in ${titleOf(library.positions, one.position).toLowerCase()}` };
    }
    for (const key of sorted(one.cautions, filters.avoid)) {
      return { filter: "avoid", value: key, words: `carries the caution ${titleOf(library.cautions, key).toLowerCase()}` };
    }
    for (const limit of filters.never) {
      const name = `${limit.joint} ${limit.movement.replace(/-/g, " ")}`;
      const farthest = farthestAngle(one, limit);
      if (farthest !== null) {
        return { filter: "max", value: `${limit.joint} ${limit.movement}=${limit.most}`,
          words: `goes to ${name} ${Math.round(farthest)}°, over ${limit.most}°` };
      }
    }
    if (filters.bearing !== null && one.bearing !== null && one.bearing > filters.bearing + BEARING_TOLERANCE) {
      return { filter: "bearing", value: String(filters.bearing), words: `bears ${Math.round(one.bearing * 100)} % of body weight` };
    }
    const kind = wrongKind(filters, one);
    if (kind) return { filter: "kind-of-work", value: [...filters.kinds].join(" "), words: kind };
    for (const key of [...filters.restrictions].sort()) {
      const words = one.breaks.get(key);
      if (words) return { filter: "restriction", value: key, words: `breaks ${titleOf(library.restrictions, key)}: ${words}` };
    }
    return null;
  }

  /**
   * The angle by which a limit is passed, of the working side first; null where it is kept.
   * @param {Feature} one @param {{joint: string, axis: string, sign: number, most: number}} limit
   */
  function farthestAngle(one, limit) {
    for (const side of ["working ", "other "]) {
      const range = one.angles.get(side + limit.joint + " " + limit.axis) || one.angles.get(limit.joint + " " + limit.axis);
      if (!range) continue;
      const farthest = limit.sign > 0 ? range[1] : -range[0];
      if (farthest > limit.most + SETTLING) return farthest;
    }
    return null;
  }

  /** Filters from the address. @param {any} library @returns {Filters} */
  function fromState(library) {
    const state = rungbook.state;
    const bearing = Number(state.get("bearing"));
    return {
      without: new Set(state.all("without")),
      notIn: new Set(state.all("not-in")),
      avoid: new Set(state.all("avoid")),
      never: state.all("max").map((/** @type {string} */ text) => limit(text, library)).filter(Boolean),
      bearing: state.get("bearing") && bearing >= 0 && bearing <= 100 ? bearing / 100 : null,
      restrictions: new Set(state.all("restriction")),
      kinds: new Set(state.all("kind-of-work").filter((/** @type {string} */ word) => library.kindsOfWork.includes(word))),
    };
  }

  /** `hip flexion=90`. @param {string} text @param {any} library */
  function limit(text, library) {
    const match = /^\s*(\S+) (\S+)\s*=\s*(-?\d+(?:\.\d+)?)\s*$/.exec(text);
    if (!match) return null;
    const found = library.movements.find((/** @type {any[]} */ row) => row[0] === `${match[1]} ${match[2]}`);
    return found ? { joint: match[1], movement: match[2], axis: found[1], sign: found[2], most: Number(match[3]) } : null;
  }

  rungbook.filters = { features, anglesFor, objection, fromState, kindsOf, limit, titleOf };
})();
