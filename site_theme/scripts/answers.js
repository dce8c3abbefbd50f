// @ts-check
"use strict";
/** Numbers, steps and exercises in words and elements, as the pages write them. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const NARROW = "\u202f";
  const STABILITY = ["lying, leaning back or steadied by the hands", "two feet, sitting or all fours", "narrow base", "one leg", "one leg, unstable or one thing more", "one leg, two things more", "one leg, three things more"];
  const IMPACT = ["no impact", "both feet landing", "one foot landing"];
  const TITLES = new Map([
    ["demand", "load"], ["bearing", "weight-bearing"], ["impact", "impact"], ["range", "range"],
    ["lengthening", "stretched position"], ["speed", "speed"], ["stability", "balance"],
    ["volume", "time under tension"], ["changes", "kinds of change at once"], ["elsewhere", "load elsewhere"],
  ]);

  /** `-3.25` -> "−3.2"; never "-0". @param {number} value @param {number} [digits] */
  function number(value, digits) {
    let text = value.toFixed(digits || 0);
    if (text.includes(".")) text = text.replace(/0+$/, "").replace(/\.$/, "");
    return text === "-0" ? "0" : text.replace("-", "−");
  }

  /** About two significant figures. @param {number} value */
  const significant = (value) => number(value, Math.abs(value) >= 10 ? 0 : Math.abs(value) >= 1 ? 1 : 2);
  /** @param {number} value N·m */
  const moment = (value) => `${significant(value)}${NARROW}N·m`;
  /** @param {number} share */
  const percent = (share) => `${number(share * 100)}${NARROW}%`;
  /** @param {number} ratio */
  const times = (ratio) => `${number(ratio, ratio >= 10 ? 0 : ratio >= 2 ? 1 : 2)} times`;
  /** @param {number} value */
  function seconds(value) {
    if (value < 90) return `${number(value, 1)}${NARROW}s`;
    const whole = Math.round(value);
    const rest = whole % 60;
    return `${(whole - rest) / 60}${NARROW}min` + (rest ? ` ${rest}${NARROW}s` : "");
  }
  /** @param {number} amount @param {string} one @param {string} [many] */
  const count = (amount, one, many) => `${amount} ${amount === 1 ? one : many || one + "s"}`;

  /** A value on an axis of demand, in its unit. @param {string} axis @param {number} value */
  function axisValue(axis, value) {
    const word = (/** @type {string[]} */ words) => words[Math.min(Math.max(Math.round(value), 0), words.length - 1)];
    if (axis === "demand" || axis === "elsewhere") return moment(value);
    if (axis === "bearing") return percent(value);
    if (axis === "range" || axis === "lengthening") return `${number(value)}°`;
    if (axis === "speed") return `${number(value)}${NARROW}°/s`;
    if (axis === "stability") return word(STABILITY);
    if (axis === "impact") return word(IMPACT);
    if (axis === "volume") return `${seconds(value)} a week`;
    return number(value, 1);
  }

  /** @param {string} axis @param {number} from @param {number} to @param {string | null} [elsewhere] @param {string} [works] the action of a demand */
  function axisWords(axis, from, to, elsewhere, works) {
    if (axis === "changes") return `${number(to)} kinds of change at once`;
    const weight = axis === "elsewhere" && elsewhere && elsewhere.startsWith("weight on");
    const title = axis === "elsewhere" && elsewhere ? (weight ? elsewhere : `load at ${elsewhere.replace(/-/g, " ")}`) : (TITLES.get(axis) || axis) + (works ? ` in ${works.replace(/-/g, " ")}` : "");
    const unit = weight ? "bearing" : axis;
    return `${title} ${axisValue(unit, from)} → ${axisValue(unit, to)}`;
  }

  /** A size in steps, as `ladder/words.py`: `0.8 of a step`, `one step`, `2.4 steps`. @param {number} size */
  function stepsText(size) {
    if (size <= 1e-6) return "no step up";
    if (size < 0.05) return "under 0.1 of a step";
    const text = size > 1 + 1e-6 && size < 1.05 ? Math.max(size, 1.01).toFixed(2) : size.toFixed(1);
    return text === "1.0" ? "one step" : `${text} ${size > 1 ? "steps" : "of a step"}`;
  }

  /**
   * A step in words, from a record or from `steps.js` (whose axes are a map).
   * @param {any} step
   * @param {boolean} [accepted] somebody gave a reason why it may be above its limit
   */
  function stepWords(step, accepted) {
    const rows = Array.isArray(step.axes)
      ? step.axes
      : [...step.axes].map(([axis, one]) => [axis, one.from, one.to, one.limit, one.size, one.works]);
    const over = step.size > 1 + 1e-6;
    const changes = rows
      .filter((/** @type {any[]} */ row) => row[0] !== "changes" && row[0] !== "elsewhere" && row[4] >= 0.1)
      .sort((/** @type {any[]} */ a, /** @type {any[]} */ b) => b[4] - a[4])
      .map((/** @type {any[]} */ row) => axisWords(row[0], row[1], row[2], step.elsewhere, row[5]));
    return {
      over,
      changes,
      verdict: stepsText(step.size) + (over ? `, ${accepted ? "accepted" : `${count(step.missing, "rung")} missing`}` : ""),
    };
  }

  /** Five cells and a verdict. @param {any} step @param {boolean} [accepted] */
  function stepSize(step, accepted) {
    const words = stepWords(step, accepted);
    const full = words.over ? 5 : Math.min(Math.max(Math.round(step.size * 5), step.size > 0.02 ? 1 : 0), 5);
    const cells = Array.from({ length: 5 }, (_, i) =>
      rungbook.element("i", { class: words.over ? "cell-over" : i < full ? "cell-full" : "cell-empty" }));
    return rungbook.element("span", { class: words.over && !accepted ? "step step-over" : "step" },
      rungbook.element("span", { class: "bar", "aria-hidden": "true" }, ...cells), " ",
      rungbook.element("span", { class: "step-verdict" }, words.verdict));
  }

  /** A link to an exercise. @param {string} id @param {string} title */
  function exerciseLink(id, title) {
    return rungbook.element("a", { class: "entry-title",
      href: `${rungbook.root()}exercises/${encodeURIComponent(id)}.html` }, title);
  }

  rungbook.answers = { axisTitle: (/** @type {string} */ axis) => TITLES.get(axis) || null, number, moment, percent, times, seconds, count, stepsText, axisValue, axisWords, stepWords, stepSize, exerciseLink, significant };
})();
