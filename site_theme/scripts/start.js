// @ts-check
"use strict";
/**
 * Where to start on a ladder: the same answers as `ladder/start.py`, by `data/start/<id>.js`.
 *
 * @typedef {{irritability: string | null, tests: Map<string, number>, maxima: Map<string, number>, age: number | null, male: boolean, weeks: number | null}} Told
 * @typedef {{by: string, says: string, rung: string | null}} Suggestion
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const LITTLE = 0.5;
  const IRRITABILITIES = ["high", "moderate", "low"];
  const ANY = [["", "not said"]];

  /** @param {number} value */
  const plain = (value) => String(Number(value.toPrecision(6)));

  /** @param {any} record @param {Told} told @returns {Suggestion[]} */
  function suggestions(record, told) {
    /** @type {Suggestion[]} */
    const found = [];
    const entry = entryOf(record, told.irritability);
    if (entry) found.push({ by: "irritability", says: `${told.irritability} irritability`, rung: entry });
    for (const test of record.tests) {
      const result = told.tests.get(test.key);
      const enter = result === undefined ? null : entered(test, result);
      if (result !== undefined && enter) found.push({ by: "test", says: resultWords(test, result), rung: enter });
    }
    for (const [action, maximum] of told.maxima) {
      if (!record.works.includes(action)) continue;
      const says = `${Math.round(100 * record.share)} % of ${plain(maximum)} N·m in ${action.replace(/-/g, " ")}`;
      found.push({ by: "strength", says, rung: within(record, action, record.share * maximum) });
    }
    return found;
  }

  /** The entry of an irritability; where none is named, that of the next higher one. @param {any} record @param {string | null} irritability */
  function entryOf(record, irritability) {
    if (!irritability) return null;
    const entries = new Map(record.entries);
    const higher = IRRITABILITIES.slice(0, IRRITABILITIES.indexOf(irritability) + 1).reverse();
    return higher.map((word) => entries.get(word)).find((one) => one) || null;
  }

  /** @param {any} test @param {number} result */
  const resultWords = (test, result) => `${test.title}: ${plain(result)}${test.unit === "repetitions" ? "" : ` ${test.unit}`}`;

  /** @param {[number | null, number | null]} bounds @param {number} result */
  const allows = ([least, most], result) => (least === null || result >= least) && (most === null || result <= most);

  /** The rung of the narrowest row that the result falls into. @param {any} test @param {number} result */
  function entered(test, result) {
    const fitting = test.start.filter((/** @type {any[]} */ [least, most]) => allows([least, most], result));
    fitting.sort((/** @type {any[]} */ a, /** @type {any[]} */ b) =>
      order(b[0] === null ? -Infinity : b[0], a[0] === null ? -Infinity : a[0]) || order(a[1] === null ? Infinity : a[1], b[1] === null ? Infinity : b[1]));
    return fitting.length ? fitting[0][2] : null;
  }

  /** @param {number} a @param {number} b */
  const order = (a, b) => (a === b ? 0 : a < b ? -1 : 1);

  /** The hardest rung that asks for no more of an action. @param {any} record @param {string} action @param {number} most N·m */
  function within(record, action, most) {
    let best = null;
    for (const rung of record.rungs) {
      const peak = new Map(rung.moments).get(action);
      if (peak !== undefined && peak <= most && (!best || peak >= best[0])) best = [peak, rung.id];
    }
    return best && best[1];
  }

  /** By height where all are known, else by the order of the ladder. @param {any} record @param {Suggestion[]} found */
  function lightest(record, found) {
    const rungs = record.rungs.filter((/** @type {any} */ rung) => found.some((one) => one.rung === rung.id));
    const known = rungs.every((/** @type {any} */ rung) => rung.height !== null);
    return rungs.reduce((/** @type {any} */ least, /** @type {any} */ rung) => (!least || (known && rung.height < least.height) ? rung : least), null);
  }

  /** What is asked before a rung. @param {any} record @param {Told} told */
  function gates(record, told) {
    return record.tests.filter((/** @type {any} */ test) => test.gate).map((/** @type {any} */ test) => {
      const result = told.tests.get(test.key);
      const [least, most, before, says] = test.gate;
      return { test: test.key, before, says, met: result === undefined ? null : allows([least, most], result) };
    });
  }

  /** @param {any} record @param {Told} told @param {any[]} asked @returns {Map<string, string>} */
  function leftOut(record, told, asked) {
    const found = new Map();
    for (const rung of record.rungs) {
      const held = rung.orders.filter((/** @type {any[]} */ [, time]) => time === null || rungbook.limits.inForce(time, told.weeks, false));
      const strictest = held.reduce((/** @type {any} */ least, /** @type {any} */ one) => (!least || one[2] < least[2] ? one : least), null);
      const gate = asked.filter((one) => one.met === false && reached(record, one.before).has(rung.id)).pop();
      if (strictest) found.set(rung.id, `breaks ${strictest[0]}: ${strictest[3]}`);
      else if (!rung.known && record.ordered) found.set(rung.id, "load not known");
      else if (gate) found.set(rung.id, gate.says);
    }
    return found;
  }

  /** A rung and all that follow from it. @param {any} record @param {string} id */
  function reached(record, id) {
    const found = new Set([id]);
    for (const one of found) for (const [easier, harder] of record.edges) if (easier === one) found.add(harder);
    return found;
  }

  /** The rung, or the nearest easier one that is not left out. @param {any} record @param {any} rung @param {Map<string, string>} out */
  function openRung(record, rung, out) {
    if (!rung || !out.has(rung.id)) return rung ? rung.id : null;
    let level = [rung.id];
    const seen = new Set(level);
    while (level.length) {
      level = record.edges.filter((/** @type {string[]} */ [easier, harder]) => level.includes(harder) && !seen.has(easier)).map((/** @type {string[]} */ [easier]) => easier);
      level.forEach((one) => seen.add(one));
      const free = record.rungs.map((/** @type {any} */ one) => one.id).filter((/** @type {string} */ id) => level.includes(id) && !out.has(id));
      if (free.length) return free[free.length - 1];
    }
    return null;
  }

  /** Whether a measured strength would allow far more. @param {any} record @param {Told} told @param {string | null} id */
  function tooLittle(record, told, id) {
    const rung = record.rungs.find((/** @type {any} */ one) => one.id === id);
    if (!rung) return false;
    const moments = new Map(rung.moments);
    const known = [...told.maxima].filter(([action]) => moments.has(action));
    return known.length > 0 && known.every(([action, maximum]) => moments.get(action) < LITTLE * record.share * maximum);
  }

  /** What is published of a result. @param {any} norms @param {number} result @param {number | null} age @param {boolean} male */
  function normWords(norms, result, age, male) {
    const least = leastOf(norms, age, male);
    if (least !== null) return `${result < least ? "" : "not "}${norms.says} (under ${plain(least)})`;
    if (norms.over !== null) return `${result > norms.over ? "" : "not "}${norms.says} (over ${plain(norms.over)})`;
    return age === null ? "say the age to compare" : "nothing is published for this age";
  }

  /** @param {any} norms @param {number | null} age @param {boolean} male */
  function leastOf(norms, age, male) {
    if (!norms.byAge.length) return norms.under;
    if (age === null || age > norms.toAge) return null;
    const known = norms.byAge.filter((/** @type {any[]} */ [from]) => from <= age).sort((/** @type {any[]} */ [a], /** @type {any[]} */ [b]) => b - a);
    return known.length ? known[0][male ? 1 : 2] : null;
  }

  /** @param {any} record @param {Told} told */
  function start(record, told) {
    const found = suggestions(record, told);
    const asked = gates(record, told);
    const out = leftOut(record, told, asked);
    const rung = openRung(record, lightest(record, found), out);
    const norms = [...told.tests].map(([key, result]) => {
      const test = record.tests.find((/** @type {any} */ one) => one.key === key);
      return { test: key, says: `${resultWords(test, result)}: ${normWords(test.norms, result, told.age, told.male)}`, source: `${test.norms.source}, ${test.norms.read}` };
    });
    return { rung, suggestions: found, gates: asked, norms, leftOut: out, mayBeTooLittle: tooLittle(record, told, rung) };
  }

  /** @param {HTMLDetailsElement} fold */
  function begin(fold) {
    const form = /** @type {HTMLFormElement} */ (fold.querySelector("[data-start-form]"));
    const place = /** @type {HTMLElement} */ (fold.querySelector("[data-start-said]"));
    const el = rungbook.element;
    const { value, text, select, amount } = rungbook.fields(form, "start");
    /** @type {any} */
    let record = null;

    function drawForm() {
      const tests = new Map(record.tests.map((/** @type {any} */ one) => [one.key, one]));
      const dated = record.rungs.some((/** @type {any} */ rung) => rung.orders.some((/** @type {any[]} */ [, time]) => time && time[0] !== null));
      rungbook.fill(form, select("irritability", "Irritability", [...ANY, ...record.means]),
        ...(dated ? [text("operation", "Weeks since the operation")] : []),
        ...[...tests.values()].map((one) => text(`test ${one.key}`, `${one.title}, ${one.unit}`)),
        ...record.works.map((/** @type {string} */ action) => text(`maximum ${action}`, `Measured maximum of ${action.replace(/-/g, " ")}, N·m`)),
        ...(record.tests.length ? [el("p", { class: "hint" }, "A result is compared with the age and sex entered under “For this patient”.")] : []));
    }

    /** @param {string[]} wrong @returns {Told} */
    function read(wrong) {
      const told = { irritability: value("irritability") || null, tests: new Map(), maxima: new Map(), age: Number(rungbook.state.get("age")) || null,
        male: rungbook.state.get("body") === "male", weeks: amount("operation", "Weeks since the operation", 520, wrong) };
      for (const { key, title } of record.tests) {
        const result = amount(`test ${key}`, title, 10000, wrong);
        if (result !== null) told.tests.set(key, result);
      }
      for (const action of record.works) {
        const maximum = amount(`maximum ${action}`, "Measured maximum", 1000, wrong);
        if (maximum) told.maxima.set(action, maximum);
      }
      return told;
    }

    /** @param {string | null} id */
    function named(id) {
      const rung = record.rungs.find((/** @type {any} */ one) => one.id === id);
      return rung ? rungbook.answers.exerciseLink(rung.id, rung.title) : "no rung";
    }

    function judge() {
      /** @type {string[]} */
      const wrong = [];
      const told = read(wrong);
      if (wrong.length) {
        rungbook.fill(place, el("p", {}, "No answer until what is wrong above is mended."));
        return;
      }
      const found = start(record, told);
      const none = found.suggestions.length ? "No rung of the ladder fits all of this." : "Say how irritable it is, a test or a measured strength.";
      const words = new Map([[true, "passed"], [false, "not passed"], [null, "not tested"]]);
      rungbook.fill(place, el("p", { role: "status", class: "start-with" }, ...(found.rung ? [el("strong", {}, "Start with: "), named(found.rung)] : [none])),
        ...(found.mayBeTooLittle ? [el("p", {}, "It may be too little: the measured strength allows far more.")] : []),
        el("ul", {}, ...found.suggestions.map((one) => el("li", {}, `By ${one.by}, ${one.says}: `, named(one.rung))),
          ...found.norms.map((one) => el("li", {}, `${one.says} (${one.source})`)),
          ...found.gates.map((/** @type {any} */ one) => el("li", {}, "Before ", named(one.before), `: ${one.says} (${words.get(one.met)})`)),
          ...[...found.leftOut].map(([id, why]) => el("li", {}, "Left out: ", named(id), `, ${why}`))),
        el("p", { class: "entry-note" }, "The lightest decides. This shows where the rules lead; the clinician starts the patient."));
    }

    async function open() {
      if (!fold.open || record) return;
      try {
        record = await rungbook.load("start/" + fold.dataset.start);
      } catch {
        rungbook.fill(place, el("p", { class: "empty" }, "The data of this ladder is missing: build the site again."));
        return;
      }
      drawForm();
      judge();
    }

    fold.addEventListener("toggle", () => void open());
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("input", judge);
    rungbook.state.onChange(() => record && judge());
    window.addEventListener("pageshow", (event) => {
      if (event.persisted && record) {
        form.reset(); // a page kept alive must not come back with another patient
        judge();
      }
    });
  }

  document.addEventListener("DOMContentLoaded", () => {
    document.querySelectorAll("[data-start]").forEach((fold) => begin(/** @type {HTMLDetailsElement} */ (fold)));
  });
  rungbook.start = { start };
})();
