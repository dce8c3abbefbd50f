// @ts-check
"use strict";
/** A session in a line for the notes, and back: the same lines as `ladder/session_line.py`. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const SWELLINGS = ["none", "less", "same", "more"];
  const DONE = /(\d+) x (\d+)(?: of (\d+(?:\.\d+)?) s)?(?: ?(s))?(?![A-Za-z0-9_])/;
  const OF_TEN = [["painBefore", "before"], ["painDuring", "during"], ["painNight", "at night"], ["painNextMorning", "next morning"]];

  /** A session of which nothing is said. */
  const nothing = () => ({ redFlags: null, givingWay: null, painBefore: null, painDuring: null, painNight: null,
    painNextMorning: null, settled: null, swelling: null, sets: null, reps: null, hold: null, effort: null, sessions: null,
    weeks: null, missedWeeks: null, heldLast: null, last: null, answers: new Map(), tests: new Map() });

  /** `pain 3 during, 1 next morning; settled in 24 h; 3 x 15; effort 4; session 5` @param {any} one */
  function write(one) {
    const told = OF_TEN.filter(([key]) => one[key] !== null).map(([key, when]) => `${one[key]} ${when}`);
    const parts = told.length ? [`pain ${told.join(", ")}`] : [];
    if (one.settled !== null) parts.push(one.settled === Infinity ? "not settled" : `settled in ${one.settled} h`);
    if (one.sets !== null && one.reps !== null) parts.push(`${one.sets} x ${one.reps}` + (one.hold ? ` of ${one.hold} s` : ""));
    else if (one.sets !== null && one.hold !== null) parts.push(`${one.sets} x ${one.hold} s`);
    if (one.effort !== null) parts.push(`effort ${one.effort}`);
    if (one.swelling !== null) parts.push(`swelling ${one.swelling}`);
    if (one.sessions !== null) parts.push(`session ${one.sessions}`);
    return parts.join("; ");
  }

  /** What a line tells; null where it tells nothing, or a pain or an effort above 10. @param {string} text */
  function read(text) {
    const number = (/** @type {string} */ before, /** @type {string} */ after) => {
      const found = new RegExp(`${before}(\\d+(?:\\.\\d+)?)${after}`).exec(text);
      return found ? Number(found[1]) : null;
    };
    const scales = Object.fromEntries([...OF_TEN.map(([key, when]) => [key, number("", " " + when)]), ["effort", number("effort ", "")]]);
    if (Object.values(scales).some((value) => value !== null && value > 10)) return null;
    const settled = text.includes("not settled") ? Infinity : number("settled in ", " h");
    const swelling = SWELLINGS.find((one) => text.includes(`swelling ${one}`)) || null;
    const found = Object.assign(nothing(), scales, done(text), { settled, swelling, sessions: number("session ", "") });
    return write(found) ? found : null;
  }

  /** `3 x 15`, `3 x 30 s`, `3 x 5 of 15 s`; nothing without. @param {string} text */
  function done(text) {
    const found = DONE.exec(text);
    if (!found) return {};
    const [sets, count] = [Number(found[1]), Number(found[2])];
    if (found[4]) return { sets, hold: count };
    return found[3] ? { sets, reps: count, hold: Number(found[3]) } : { sets, reps: count };
  }

  rungbook.sessionLine = { write, read, done, nothing };
})();
