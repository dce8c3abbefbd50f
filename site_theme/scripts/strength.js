// @ts-check
"use strict";
/**
 * A demand as a share of what a person can be expected to do at that angle: the same as
 * `load/strength.py`, from the same published curves.
 *
 * @typedef {Object} Share
 * @property {number} share of strength, at the worst phase
 * @property {number} at ° toward the action there
 * @property {number | null} atPeak share where the moment is greatest, null where no curve holds
 * @property {boolean} whole whether a curve holds wherever the muscles act
 * @property {string} of whose strength
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const GRAVITY = 9.81;
  const [YOUNG_UNTIL, OLDER_FROM, OLD_FROM] = [25, 55, 65];
  const FIT = "The older people of the table were few and fit: frail patients have less to spare.";
  const NO_CURVE = "no published curve for these muscles";
  const NO_ANGLE = "no published curve at this angle";
  const NO_AGE = "no published curve for this age";
  const NO_BODY = "no published curve for this body table";

  /** The two groups an age lies between, and the share of the second. @param {number} age @returns {[string, string, number]} */
  function groupsOf(age) {
    if (age <= YOUNG_UNTIL) return ["18-25", "18-25", 0];
    if (age < OLDER_FROM) return ["18-25", "55-65", (age - YOUNG_UNTIL) / (OLDER_FROM - YOUNG_UNTIL)];
    return age <= OLD_FROM ? ["55-65", "55-65", 0] : ["over 65", "over 65", 0];
  }

  /** The action without its side. @param {string} works */
  const bare = (works) => works.replace(/^other-/, "");

  /**
   * What a person can be expected to do at an angle about the joint axis, N·m, or why nobody knows.
   * @param {any} data `library.strength` @param {string} works @param {any} person
   * @returns {((deg: number) => number | null) | string}
   */
  function expected(data, works, person) {
    const action = bare(works);
    const age = person.age === null || person.age === undefined ? data.usual : person.age;
    const find = (/** @type {string} */ body, /** @type {string} */ group) =>
      data.curves.find((/** @type {any[]} */ row) => row[0] === action && row[1] === body && row[2] === group);
    if (!find("female", "18-25")) return NO_CURVE;
    if (!find(person.body, "18-25")) return NO_BODY;
    if (age < data.youngest) return NO_AGE;
    const [first, second, share] = groupsOf(age);
    const [one, other] = [find(person.body, first), find(person.body, second)];
    return (deg) => {
      const [a, b] = [over(one, deg, data.fitted), over(other, deg, data.fitted)];
      return a === null || b === null ? null : ((1 - share) * a + share * b) * person.mass * GRAVITY * person.stature;
    };
  }

  /** T over m·g·h, null outside of what was fitted. @param {any[]} curve @param {number} deg @param {number} fitted */
  function over([, , , top, width, best], deg, fitted) {
    const away = width * ((deg * Math.PI) / 180 - best);
    const cosine = Math.cos(away);
    return Math.abs(away) < Math.PI / 2 && cosine >= fitted ? top * cosine : null;
  }

  /** +1 where an action is its axis's positive movement, else -1. @param {any} library @param {string} works */
  const signOf = (library, works) => new Map(library.actions).get(works)[2];

  /** Degrees toward the action of an angle as it is typed. @param {any} library @param {string} works @param {string} typed */
  function toward(library, works, typed) {
    const value = Number(typed);
    return typed === "" || Number.isNaN(value) ? null : library.strength.inFlexion.includes(bare(works)) ? -value : value;
  }

  /**
   * @param {any} library @param {any} demand of `scaling.load` @param {any} person with `age`, or null
   * @param {{nm: number, at: number | null} | null} maximum measured on the patient, ° toward the action
   * @returns {Share | string} the share, or why there is none
   */
  function of(library, demand, person, maximum) {
    const curve = expected(library.strength, demand.works, person);
    if (typeof curve === "string") return curve;
    if (demand.basis === "measured") return "a published figure has no angle";
    const sign = signOf(library, demand.works);
    const there = maximum && maximum.at !== null ? curve(sign * maximum.at) : null;
    const factor = there === null ? null : /** @type {any} */ (maximum).nm / there;
    const moments = demand.curve.map((/** @type {number} */ one) => Math.max(one, 0));
    /** @type {(number | null)[]} */
    const shares = moments.map((/** @type {number} */ moment, /** @type {number} */ phase) => {
      const most = curve(sign * demand.angles[phase]);
      return most === null ? null : moment / (most * (factor === null ? 1 : factor));
    });
    const known = /** @type {number[]} */ (shares.filter((share) => share !== null));
    if (!known.length) return NO_ANGLE;
    const worst = Math.max(...known);
    return {
      share: worst,
      at: demand.angles[shares.indexOf(worst)],
      atPeak: shares[Math.round(demand.phase)],
      whole: shares.every((share, phase) => share !== null || moments[phase] <= 0),
      of: factor === null ? people(library.strength, person) : "this patient's maximum",
    };
  }

  /** `an average woman over 65` @param {any} data @param {any} person */
  function people(data, person) {
    const age = person.age === null || person.age === undefined ? data.usual : person.age;
    const [first, second] = groupsOf(age);
    const words = first === second ? new Map(data.groups).get(first) : String(age);
    return `an average ${person.body === "female" ? "woman" : "man"} ${words.startsWith("over") ? words : `of ${words}`}`;
  }

  /** What the page says of one demand for the patient. @param {any} library @param {any} demand @param {any} patient */
  function words(library, demand, patient) {
    const { percent, number } = rungbook.answers;
    const { person, capacity } = patient;
    const maximum = capacity && capacity.action === demand.works
      ? { nm: capacity.nm, at: toward(library, demand.works, capacity.angle) } : null;
    const sentence = (/** @type {string} */ text) => text[0].toUpperCase() + text.slice(1);
    if (person.age === null && !(maximum && maximum.at !== null)) return byAge(library, demand, person, sentence);
    const found = of(library, demand, person, maximum);
    if (typeof found === "string") return `${sentence(found)}: only a maximum measured on the patient gives a share.`;
    const peak = found.atPeak !== null && found.share - found.atPeak > 0.005 ? `; ${percent(found.atPeak)} at the peak` : "";
    return `About ${percent(found.share)} of ${found.of}, most at ${number(Math.abs(found.at))}° of ${movement(library, demand.works, found.at)}${peak}.${person.age !== null && person.age > YOUNG_UNTIL && factorless(found) ? ` ${FIT}` : ""}${found.whole ? "" : " At some angles of the movement no curve is published."}`;
  }

  /** Whether a share is of people of the table, not of a maximum measured on the patient. @param {Share} found */
  const factorless = (found) => found.of.startsWith("an average");

  /** Nobody's age is known: every group of the table. @param {any} library @param {any} demand @param {any} person @param {(text: string) => string} sentence */
  function byAge(library, demand, person, sentence) {
    const all = library.strength.ages.map((/** @type {[string, number]} */ [name, age]) =>
      [name, of(library, demand, Object.assign({}, person, { age }), null)]);
    const shares = all.filter((/** @type {any[]} */ [, one]) => typeof one !== "string");
    if (!shares.length) return `${sentence(all[0][1])}: only a maximum measured on the patient gives a share.`;
    const told = shares.map((/** @type {any[]} */ [name, one]) => `${rungbook.answers.percent(one.share)} ${name.startsWith("over") ? name : `at ${name}`} years`).join(", ");
    const some = shares.every((/** @type {any[]} */ [, one]) => one.whole) ? "" : " At some angles of the movement no curve is published.";
    return `Of what an average ${person.body === "female" ? "woman" : "man"} can do at that angle: ${told}. ${FIT}${some}`;
  }

  /** The movement an angle toward an action lies toward. @param {any} library @param {string} works @param {number} deg */
  function movement(library, works, deg) {
    const [joint, name] = bare(works).split(" ");
    const [, axis, sign] = library.movements.find((/** @type {any[]} */ row) => row[0] === `${joint} ${name}`);
    if (deg >= -0.5) return `${joint} ${name}`.replace(/-/g, " ");
    const other = library.movements.find((/** @type {any[]} */ row) => row[0].startsWith(joint + " ") && row[1] === axis && row[2] === -sign);
    return (other ? other[0] : `${joint} ${name}`).replace(/-/g, " ");
  }

  /** In what the angle of a maximum is said: `flexion` for knee extension. @param {any} library @param {string} works */
  const measuredIn = (library, works) => (library.strength.inFlexion.includes(bare(works)) ? "flexion" : bare(works).split(" ")[1].replace(/-/g, " "));

  rungbook.strength = { of, words, toward, measuredIn };
})();
