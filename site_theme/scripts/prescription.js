// @ts-check
"use strict";
/**
 * The line for the notes: what was chosen and nothing else, in at most 300 characters, with the
 * patient's own figures or none.
 *
 * @typedef {{works: string, peak: number, capacity: number | null}} Peak
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const MOST = 300;

  /** Today where the reader is, as 2026-05-01. @returns {string} */
  rungbook.today = function () {
    const now = new Date();
    const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  };

  /** @param {number | [number, number]} value @param {any} say */
  function range(value, say) {
    const [low, high] = rungbook.ends(value);
    return low === high ? say.number(low) : `${say.number(low)}-${say.number(high)}`;
  }

  /** @param {Object<string, any> | null} dose @param {any} own set-up @param {any} say @returns {string} */
  function notation(dose, own, say) {
    if (!dose) return "";
    /** @param {number} time */
    const seconds = (time) => `${range(time, say)} s`;
    const times = dose.sets ? `${range(dose.sets, say)} × ` : "";
    const parts = [];
    if (dose.reps) {
      parts.push(times + range(dose.reps, say));
      if (dose.hold) parts.push(say("rx.hold", { time: seconds(dose.hold) }));
    } else if (dose.hold || dose.duration) {
      parts.push(times + seconds(dose.hold || dose.duration));
    } else if (dose.sets) {
      parts.push(say("dose.sets", { n: dose.sets }));
    }
    const setUp = rungbook.setUpNumerals(dose, own, say);
    if (setUp) parts.push(setUp);
    if (own.arc && dose.arc) parts.push(`${dose.arc} % of the arc`);
    for (const key of ["up", "pause", "down", "rest"]) {
      if (dose[key]) parts.push(say("rx." + key, { time: seconds(dose[key]) }));
    }
    if (dose.sessions) {
      const [low, high] = rungbook.ends(dose.sessions);
      const per = low % 7 || high % 7 ? 1 : 7;
      parts.push(say(per === 7 ? "rx.per-day" : "rx.per-week", { n: low === high ? low / per : [low / per, high / per] }));
    }
    if (dose.effort) parts.push(say("rx.effort", { effort: range(dose.effort, say) }));
    return parts.join(", ");
  }

  /** @param {Peak[]} peaks @param {any} say */
  function load(peaks, say) {
    return peaks.map((peak) => {
      const text = say("rx.peak", { works: peak.works, moment: say.number(peak.peak, peak.peak >= 10 ? 0 : 1) });
      return peak.capacity === null ? text : `${text}, ${say("rx.capacity", { share: say.number(100 * peak.capacity, 0) })}`;
    }).join("; ");
  }

  /**
   * @param {{title: string, setUp: any}} known a sheet record
   * @param {string} side left, right, both, or "" where both work together
   * @param {Object<string, any> | null} dose @param {string} line the clinician's own
   * @param {Peak[]} peaks of this patient; none where no figure of the patient is known
   * @param {string} figures of the patient, such as `52 kg`
   * @param {string} date such as 2026-05-01 @param {any} say
   */
  rungbook.prescriptionLine = function (known, side, dose, line, peaks, figures, date, say) {
    const title = rungbook.retitled(known.title, /** @type {any} */ (known).dose || null, dose, say);
    const rest = [side ? say("rx." + side) : "", notation(dose, known.setUp, say), line,
      peaks.length ? `${load(peaks, say)} (${figures})` : ""]
      .map((part) => part.split(/\s+/).filter(Boolean).join(" ")).filter(Boolean);
    // What is least needed to know what was given goes first, where it would be too long.
    while (rest.length > 1 && `${date} ${title} | ${rest.join(" | ")}`.length > MOST) rest.pop();
    const whole = [`${date} ${title}`, ...rest].join(" | ");
    return whole.length > MOST ? `${whole.slice(0, MOST - 1)}…` : whole;
  };

  /**
   * Copies a text; where the browser refuses, shows it selected.
   * @param {string} text @param {HTMLElement} status @param {string} done
   */
  rungbook.copy = async function (text, status, done) {
    const area = rungbook.element("textarea", { readonly: true, rows: 4, class: "copy-area",
      "aria-label": "Text for the notes" });
    area.value = text;
    try {
      await navigator.clipboard.writeText(text);
      rungbook.fill(status, done);
    } catch {
      rungbook.fill(status, area);
      area.select();
      const copied = document.execCommand && document.execCommand("copy");
      status.prepend(copied ? done + " " : "Copy this text: ");
    }
  };

  /** What of this patient was entered, `52 kg, 1.63 m`; "" where nothing was. @param {any} person @param {any} say */
  function figuresOf(person, say) {
    const set = (/** @type {string} */ key) => Boolean(rungbook.state.get(key));
    return set("mass") ? [`${say.number(person.mass)} kg`, set("stature") ? `${say.number(person.stature)} m` : ""].filter(Boolean).join(", ") : "";
  }

  /**
   * The lines of the chosen exercises, with the loads of the patient on this page if one is set.
   * @param {{id: string, side: string, dose: Object<string, any> | null, line?: string}[]} items
   * @returns {Promise<string[]>}
   */
  rungbook.prescriptionLines = async function (items) {
    const say = rungbook.messages(await rungbook.load("words/en"));
    return Promise.all(items.map(async (item) => {
      const record = await rungbook.load("sheet/" + item.id);
      const { peaks, person } = await rungbook.patient.peaks(item.id, record, item.side);
      const figures = figuresOf(person, say);
      const dose = rungbook.doseInput.merged(record.dose, item.dose);
      return rungbook.prescriptionLine(record, record.oneSided ? item.side : "", dose, item.line || "",
        figures ? peaks : [], figures, rungbook.today(), say);
    }));
  };
})();
