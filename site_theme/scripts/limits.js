// @ts-check
"use strict";
/**
 * Where a movement first passes a limit, with straight lines between its eleven phases: the same
 * places as `ladder/crossing.py`. A place is a number of phases from the start, 0 to END; NOWHERE
 * stands for what lies past the limit from the start on.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const PHASES = 11;
  const END = PHASES - 1;
  const NOWHERE = -1;

  /**
   * How far a movement may go until several curves are over a limit all at once.
   * @param {number[][]} excesses by how much the limit is passed @param {number} tolerance
   */
  function firstCrossing(excesses, tolerance) {
    if (!excesses.length) return END;
    const least = excesses[0].map((_, phase) => Math.min(...excesses.map((one) => one[phase])));
    if (least[0] > tolerance) return NOWHERE;
    for (let phase = 0; phase < END; phase += 1) {
      if (least[phase + 1] > tolerance) return Math.max(...excesses.map((one) => onLimit(one[phase], one[phase + 1], phase)));
    }
    return END;
  }

  /** Where between two phases a curve reaches its limit. @param {number} before @param {number} after @param {number} phase */
  function onLimit(before, after, phase) {
    return before >= 0 || after <= before ? phase : phase + Math.min(1, -before / (after - before));
  }

  /** The value of a curve at a place of the movement. @param {number[]} curve @param {number} place */
  function atPlace(curve, place) {
    const phase = Math.min(Math.floor(place), END - 1);
    return curve[phase] + (place - phase) * (curve[phase + 1] - curve[phase]);
  }

  /** The greatest value of a curve up to a place. @param {number[]} curve @param {number} place */
  function greatestUntil(curve, place) {
    return Math.max(...curve.slice(0, Math.floor(place) + 1), atPlace(curve, place));
  }

  /**
   * Whether a part of an order holds, as `model/restriction.py` says.
   * @param {[number | null, number | null, string | null]} time from, to, what ends it
   * @param {number | null} weeks since the operation @param {boolean} lifted
   */
  function inForce([start, end, ends], weeks, lifted) {
    const told = ends === "surgeon" || ends === "criterion";
    if (weeks === null || start === null) return !(lifted && told);
    if (weeks < start) return false;
    return end === null || weeks < end || (told && !lifted);
  }

  rungbook.limits = { END, NOWHERE, PHASES, firstCrossing, atPlace, greatestUntil, inForce };
})();
