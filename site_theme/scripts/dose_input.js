// @ts-check
"use strict";
/**
 * A dose as somebody types it or an address brings it: what can be read, within the schema's
 * bounds, and what is asked about before it goes to a patient.
 *
 * @typedef {{key: string, value: any, words: string}} Question `key` is "" where it is about the whole
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const PAIRS = ["reps", "effort"]; // always from and to
  const RANGED = [...PAIRS, "sets", "hold", "duration", "sessions"]; // a number, or from and to
  /** Bounds of the schema: least, most, whole numbers only. @type {Map<string, [number, number, boolean]>} */
  const BOUNDS = new Map([
    ["sets", [1, 100, true]], ["reps", [1, 9999, true]], ["hold", [0, 86400, false]], ["duration", [0, 86400, false]],
    ["up", [0, 86400, false]], ["pause", [0, 86400, false]], ["down", [0, 86400, false]], ["rest", [0, 86400, false]],
    ["sessions", [0.01, 350, false]], ["effort", [0, 10, false]], ["weight", [0.1, 500, false]], ["height", [1, 250, false]],
    ["arc", [25, 75, true]],
  ]);
  /** How much of the way somebody can judge by eye, per cent; the whole way is no entry. */
  const ARCS = [75, 66, 50, 33, 25];
  const NEEDED = ["weight", "height"]; // what is written with one is not done without

  /** Above these somebody most likely slipped: common practice, no source. @type {Map<string, [number, string]>} */
  const USUAL = new Map([
    ["sets", [10, "sets"]], ["reps", [50, "repetitions"]], ["hold", [300, "seconds of holding"]],
    ["duration", [3600, "seconds at a stretch"]], ["up", [20, "seconds up"]], ["pause", [30, "seconds of pause"]],
    ["down", [20, "seconds down"]], ["rest", [600, "seconds of rest"]], ["sessions", [28, "sessions a week"]],
    ["weight", [100, "kg"]], ["height", [120, "cm high"]],
  ]);
  const MOST_REPETITIONS = 300; // of one session
  const LONGEST_MIN = 90; // of one session, rests included
  const MANY_TIMES_THE_WEIGHT = 3; // of the reviewed one

  /**
   * A value of a dose as typed: `12`, `8-12`, `2.5`; a comma may stand for the point.
   * @param {string} key @param {string} text
   * @returns {{value?: any, error?: string}} no value and no error where nothing is written
   */
  function parse(key, text) {
    const [least, most, whole] = BOUNDS.get(key) || [0, 0, true];
    const trimmed = text.trim().replace(/,/g, ".").replace(/[–—]/g, "-");
    if (!trimmed) return NEEDED.includes(key) ? { error: "A number is needed." } : {};
    const pattern = RANGED.includes(key) ? /^(\d+(?:\.\d+)?)(?:\s*-\s*(\d+(?:\.\d+)?))?$/ : /^(\d+(?:\.\d+)?)$/;
    const match = pattern.exec(trimmed);
    const example = RANGED.includes(key) ? "a number such as 8, or 8-12" : "a number";
    if (!match) return { error: `“${text.trim()}” is not ${example}.` };
    const low = Number(match[1]);
    const high = match[2] === undefined ? low : Number(match[2]);
    for (const number of [low, high]) {
      if (number < least || number > most) return { error: `From ${least} to ${most}.` };
      if (whole && !Number.isInteger(number)) return { error: "A whole number." };
    }
    if (low > high) return { error: "The smaller number first." };
    if (key === "arc" && !ARCS.includes(low)) return { error: `One of ${ARCS.join(", ")}.` };
    return { value: PAIRS.includes(key) || low !== high ? [low, high] : low };
  }

  /** @param {any} value */
  function written(value) {
    if (value === undefined || value === null) return "";
    if (!Array.isArray(value)) return String(value);
    return value[0] === value[1] ? String(value[0]) : value.join("-");
  }

  /** @param {any} one @param {any} other */
  const same = (one, other) => written(one) === written(other);

  /**
   * The exercise's own dose with what was edited; an emptied value is left out.
   * @param {Object<string, any> | null} own @param {Object<string, any> | null} edited
   * @returns {Object<string, any> | null}
   */
  function merged(own, edited) {
    if (!edited) return own;
    const all = Object.assign({}, own || {}, edited);
    for (const key of Object.keys(all)) if (all[key] === null) delete all[key];
    return Object.keys(all).length ? all : null;
  }

  /** Whether a dose is another than the exercise's own. @param {Object<string, any> | null} own @param {Object<string, any> | null} edited */
  function differs(own, edited) {
    return Object.entries(edited || {}).some(([key, value]) => !same(value, own ? own[key] : null));
  }

  /** @param {any} value a number, or from and to */
  const most = (value) => (Array.isArray(value) ? value[1] : value);

  /** How long one session takes, min. @param {Object<string, any>} dose */
  function minutes(dose) {
    const sets = most(dose.sets || 1);
    const reps = dose.reps ? dose.reps[1] : 1;
    const each = most(dose.duration) || reps * ((dose.up || 0) + (dose.pause || 0) + (dose.down || 0) + (most(dose.hold) || 0));
    return (sets * each + (sets - 1) * (dose.rest || 0)) / 60;
  }

  /**
   * What is asked before a dose goes to a patient. What the library itself says is not asked.
   * @param {Object<string, any>} dose @param {Object<string, any> | null} own
   * @returns {Question[]}
   */
  function questions(dose, own) {
    /** @type {Question[]} */
    const found = [];
    for (const [key, [usual, what]] of USUAL) {
      const value = dose[key];
      const highest = most(value);
      if (value === undefined || value === null || (own && same(value, own[key]))) continue;
      const heavy = key === "weight" && own && own.weight && value > MANY_TIMES_THE_WEIGHT * own.weight;
      if (heavy || highest > usual) found.push({ key, value, words: `${written(value)} ${what}: is that meant?` });
    }
    if (found.length || (own && !differs(own, dose))) return found;
    const repetitions = most(dose.sets || 1) * (dose.reps ? dose.reps[1] : 0);
    const long = Math.round(minutes(dose));
    if (repetitions > MOST_REPETITIONS) found.push({ key: "", value: repetitions, words: `${repetitions} repetitions in one session: is that meant?` });
    else if (long > LONGEST_MIN) found.push({ key: "", value: long, words: `One session would take about ${long} minutes: is that meant?` });
    return found;
  }

  /** What of a dose an exercise cannot have, as an address would say it. @param {any} known its record @param {Object<string, any> | null} edited @returns {string[]} */
  function foreign(known, edited) {
    const own = known.dose || {};
    return Object.keys(edited || {}).filter((key) => (NEEDED.includes(key) && !own[key]) || (key === "arc" && !known.setUp.arc));
  }

  rungbook.doseInput = { keys: [...BOUNDS.keys()], ARCS, foreign, parse, written, same, merged, differs, questions };
})();
