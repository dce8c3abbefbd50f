// @ts-check
"use strict";
/**
 * A dose in the patient's words: the same, word for word, as `site/patient_dose.py`.
 *
 * @typedef {number | [number, number]} Ranged a number, or from and to
 * @typedef {Object} Dose times in seconds, sessions a week
 * @property {Ranged} [sets]
 * @property {[number, number]} [reps]
 * @property {Ranged} [hold]
 * @property {Ranged} [duration]
 * @property {number} [up]
 * @property {number} [pause]
 * @property {number} [down]
 * @property {number} [rest]
 * @property {Ranged} [sessions]
 * @property {[number, number]} [effort]
 * @property {number} [weight] of one piece, kg
 * @property {number} [height] cm
 * @property {number} [arc] how much of the way, per cent
 *
 * @typedef {{pieces: number, heightOf: string | null, arc: [number, number] | null}} SetUp
 *
 * @typedef {(key: string, values?: Object<string, any>) => string} Say
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});

  /**
   * The words of one language, from its data file.
   * @param {{language: string, plurals: string, messages: [string, string[]][]}} catalogue
   */
  rungbook.messages = function (catalogue) {
    const forms = new Map(catalogue.messages);
    /** Of a range both ends, in words. @param {Ranged} value @param {number} [digits] @returns {string} */
    const number = (value, digits) => {
      if (Array.isArray(value)) return say("dose.from-to", { low: number(value[0], digits), high: number(value[1], digits) });
      const text = value.toFixed(digits === undefined ? 2 : digits);
      const short = text.includes(".") ? text.replace(/0+$/, "").replace(/\.$/, "") : text;
      return short.replace(".", (forms.get("number.decimal") || ["."])[0]);
    };
    /** @param {Ranged} range @param {number} count */
    const index = (range, count) => {
      const n = ends(range)[1];
      if (n !== Math.floor(n)) return count - 1;
      return Math.min(Number(catalogue.plurals[n < 200 ? n : 100 + (n % 100)]), count - 1);
    };
    /** @type {Say} */
    const say = (key, values) => {
      const texts = forms.get(key);
      if (!texts) throw new Error("no message " + key);
      const filled = Object.assign({}, values);
      let text = texts[filled.n === undefined ? 0 : index(filled.n, texts.length)];
      if (filled.n !== undefined) filled.n = number(filled.n);
      for (const [name, value] of Object.entries(filled)) {
        text = text.split("{" + name + "}").join(String(value));
      }
      return text;
    };
    return Object.assign(say, {
      language: catalogue.language,
      number,
      /** A phrase of a drawing, itself where there is no other. @param {string} english */
      phrase: (english) => (forms.get(english) || [english])[0],
      /** @param {string} key */
      items: (key) => (forms.get(key) || [""])[0].split("|"),
      /** @param {string} key */
      has: (key) => forms.has(key),
    });
  };

  /** The least and the most of a number or a range. @param {Ranged} value @returns {[number, number]} */
  const ends = (rungbook.ends = (/** @type {any} */ value) => (Array.isArray(value) ? value : [value, value]));

  /** @param {Ranged} seconds @param {any} say @returns {string} */
  function durationWords(seconds, say) {
    if (Array.isArray(seconds)) {
      const [low, high] = seconds;
      if (high < 90) return say("time.seconds", { n: seconds });
      if (low % 60 === 0 && high % 60 === 0) return say("time.minutes", { n: [low / 60, high / 60] });
      return say("dose.from-to", { low: durationWords(low, say), high: durationWords(high, say) });
    }
    if (seconds < 90) return seconds === 60 ? say("time.minutes", { n: 1 }) : say("time.seconds", { n: seconds });
    const minutes = Math.floor(seconds / 60);
    const rest = seconds - minutes * 60;
    if (rest === 0) return say("time.minutes", { n: minutes });
    return say("time.minutes-seconds", {
      minutes: say("time.minutes", { n: minutes }),
      seconds: say("time.seconds", { n: rest }),
    });
  }

  /** @param {[number, number]} range @param {any} say */
  function fromTo([low, high], say) {
    if (low === high) return say.number(low);
    return say("dose.from-to", { low: say.number(low), high: say.number(high) });
  }

  /** @param {[number, number]} reps @param {any} say @returns {string} */
  const repsWords = ([low, high], say) => (low === high ? say("dose.reps", { n: low }) : say("dose.reps-range", { low, high }));

  /** @param {Dose} dose @param {any} say @returns {string[]} */
  function amount(dose, say) {
    const sets = dose.sets || 1;
    if (dose.reps) {
      const what = repsWords(dose.reps, say);
      const lines = [say("dose.sets-of", { n: sets, sets: say("dose.sets", { n: sets }), what })];
      if (dose.hold) lines.push(say("dose.hold-each", { time: durationWords(dose.hold, say) }));
      return lines;
    }
    if (dose.hold) return [say("dose.hold", { n: sets, time: durationWords(dose.hold, say) })];
    if (dose.duration) return [say("dose.duration", { n: sets, time: durationWords(dose.duration, say) })];
    return dose.sets ? [say("dose.sets", { n: sets }) + "."] : [];
  }

  /** @param {Ranged} sessions @param {any} say */
  function often(sessions, say) {
    const [low, high] = ends(sessions);
    if (low % 7 || high % 7) return say("dose.per-week", { n: sessions });
    return say("dose.per-day", { n: low === high ? low / 7 : [low / 7, high / 7] });
  }

  /** @param {number} low @param {number} high @param {any} say */
  const figures = (low, high, say) => (low === high ? say.number(low) : `${say.number(low)}–${say.number(high)}`);

  /** The amount in figures, `3 × 10`; "" where none is written. @param {Dose | null} dose @param {any} say */
  rungbook.doseNumerals = function (dose, say) {
    if (!dose) return "";
    const [low, high] = ends(dose.hold || dose.duration || 0);
    const whole = low >= 90 && low % 60 === 0 && high % 60 === 0;
    let what = "";
    if (dose.reps) what = figures(dose.reps[0], dose.reps[1], say);
    else if (high) what = whole ? `${figures(low / 60, high / 60, say)} min` : `${figures(low, high, say)} s`;
    const [few, many] = ends(dose.sets || 1);
    return what && `${figures(few, many, say)} × ${what}`;
  };

  const TIMES = /** @type {("hold" | "duration" | "up" | "pause" | "down" | "rest")[]} */ (
    ["hold", "duration", "up", "pause", "down", "rest"]);

  const DOSE = /** @type {(keyof Dose)[]} */ (["sets", "reps", ...TIMES, "sessions", "effort"]);

  /** @param {number} kg @param {any} say */
  const massWords = (kg, say) => `${say.number(kg)} kg`;
  /** @param {number} cm @param {any} say */
  const heightWords = (cm, say) => `${say.number(cm, 0)} cm`;

  /** `2 kg + 2 kg · 48 cm`. @param {Dose | null} dose @param {SetUp} own @param {any} say */
  rungbook.setUpNumerals = function (dose, own, say) {
    const parts = [];
    if (dose && dose.weight) parts.push(Array(own.pieces).fill(massWords(dose.weight, say)).join(" + "));
    if (dose && dose.height && own.heightOf && own.heightOf !== "hands") parts.push(heightWords(dose.height, say));
    return parts.join(" · ");
  };

  /** @param {Dose} dose @param {SetUp} own @param {any} say */
  function setUpLines(dose, own, say) {
    const lines = [];
    if (dose.weight) lines.push(say(own.pieces === 1 ? "setup.weight" : "setup.weight-each", { weight: massWords(dose.weight, say) }));
    if (dose.height && own.heightOf) lines.push(say(`setup.height-${own.heightOf}`, { height: heightWords(dose.height, say) }));
    return lines;
  }

  /** How far to go, where that is not the whole way. @param {Dose | null} dose @param {SetUp} own @param {any} say @returns {string} */
  rungbook.arcWords = (dose, own, say) => (own.arc && dose && dose.arc && dose.arc < 100 ? say("setup.arc", { arc: say(`arc.${dose.arc}`) }) : "");

  /** What `{{hold}}`, `{{weight}}` … stand for. @param {Dose | null} dose @param {SetUp} own @param {any} say @returns {Map<string, string>} */
  rungbook.patientNumbers = function (dose, own, say) {
    /** @type {Map<string, string>} */
    const found = new Map();
    if (own.arc) found.set("arc", say(`arc.${(dose && dose.arc) || 100}`));
    if (!dose) return found;
    for (const key of TIMES) if (dose[key]) found.set(key, durationWords(/** @type {number} */ (dose[key]), say));
    if (dose.sets) found.set("sets", say("dose.sets", { n: dose.sets }));
    if (dose.reps) found.set("reps", repsWords(dose.reps, say));
    if (dose.weight) found.set("weight", massWords(dose.weight, say));
    if (dose.height) found.set("height", heightWords(dose.height, say));
    return found;
  };

  const NAME = /\{\{\s*([a-z]+)\s*\}\}/g;
  const SENTENCE = /[^.!?]+[.!?]*\s*|[.!?]+\s*/g;

  /**
   * A tree with the numbers that its texts name; a sentence about a number that there is not is left out.
   * @param {any} node @param {Map<string, string>} numbers @returns {any}
   */
  rungbook.filledNode = function (node, numbers) {
    if (typeof node !== "string") return [node[0], node[1], ...node.slice(2).map((/** @type {any} */ one) => rungbook.filledNode(one, numbers))];
    if (!node.includes("{{")) return node;
    const known = (node.match(SENTENCE) || []).filter((sentence) => [...sentence.matchAll(NAME)].every(([, name]) => numbers.has(name)));
    return known.join("").replace(NAME, (_, name) => numbers.get(name) || "");
  };

  /** A title with what is set for the patient. @param {string} title @param {Dose | null} written @param {Dose | null} dose @param {any} say */
  rungbook.retitled = function (title, written, dose, say) {
    if (!written || !dose) return title;
    if (written.weight && dose.weight) title = title.split(massWords(written.weight, say)).join(massWords(dose.weight, say));
    if (written.height && dose.height) title = title.split(heightWords(written.height, say)).join(heightWords(dose.height, say));
    return title;
  };

  /** A drawing's tree that says the weight that is set. @param {any} node @param {Dose | null} written @param {Dose | null} dose @param {any} say @returns {any} */
  rungbook.relabelled = function (node, written, dose, say) {
    if (!written || !written.weight || !dose || !dose.weight) return node;
    if (typeof node !== "string") return [node[0], node[1], ...node.slice(2).map((/** @type {any} */ one) => rungbook.relabelled(one, written, dose, say))];
    const now = massWords(dose.weight, say);
    if (/^(\d × )?[\d.,]+[\s\u202f]kg$/.test(node)) return node.replace(/[\d.,]+[\s\u202f]kg$/, now);
    return node.replace(new RegExp(`(^|[^\\d.,])${String(written.weight).replace(".", "\\.")} kg`, "g"), (_, before) => before + now);
  };

  /** How often, `3 times a week.` @param {Dose | null} dose @param {any} say */
  rungbook.howOften = (dose, say) => (dose && dose.sessions ? often(dose.sessions, say) : "");

  /**
   * One sentence a line: amount, what is set up, speed, rest, how often, effort.
   * @param {Dose | null} dose @param {any} say @param {SetUp} [own] @returns {string[]}
   */
  rungbook.doseLines = function (dose, say, own) {
    const setUp = dose && own ? setUpLines(dose, own, say) : [];
    if (!dose || !DOSE.some((key) => dose[key])) return [say("dose.none"), ...setUp];
    const lines = [...amount(dose, say), ...setUp];
    const tempo = /** @type {("up" | "pause" | "down")[]} */ (["up", "pause", "down"]);
    const parts = tempo
      .filter((key) => dose[key])
      .map((key) => say("dose." + key, { time: durationWords(/** @type {number} */ (dose[key]), say) }));
    if (parts.length) lines.push(say("dose.tempo", { parts: parts.join(", ") }));
    if (dose.rest && ends(dose.sets || 1)[1] > 1) lines.push(say("dose.rest", { time: durationWords(dose.rest, say) }));
    if (dose.sessions) lines.push(often(dose.sessions, say));
    if (dose.effort) lines.push(say("dose.effort", { effort: fromTo(dose.effort, say) }));
    return lines;
  };
})();
