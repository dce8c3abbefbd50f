// @ts-check
"use strict";
/**
 * A plain-text prescription for the notes: the same line as `site/prescription.py` writes.
 *
 * @typedef {{works: string, peak: number, capacity: number | null}} Peak
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});

  /** Today where the reader is, as 2026-05-01. @returns {string} */
  rungbook.today = function () {
    const now = new Date();
    const two = (/** @type {number} */ n) => String(n).padStart(2, "0");
    return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
  };

  /** @param {[number, number]} range @param {any} say */
  function range([low, high], say) {
    return low === high ? say.number(low) : `${say.number(low)}-${say.number(high)}`;
  }

  /** @param {Object<string, any> | null} dose @param {any} say @returns {string | null} */
  function notation(dose, say) {
    if (!dose) return null;
    /** @param {number} time */
    const seconds = (time) => `${say.number(time)} s`;
    const times = dose.sets ? `${dose.sets} × ` : "";
    const parts = [];
    if (dose.reps) {
      parts.push(times + range(dose.reps, say));
      if (dose.hold) parts.push(say("rx.hold", { time: seconds(dose.hold) }));
    } else if (dose.hold || dose.duration) {
      parts.push(times + seconds(dose.hold || dose.duration));
    } else if (dose.sets) {
      parts.push(say("dose.sets", { n: dose.sets }));
    }
    for (const key of ["up", "pause", "down", "rest"]) {
      if (dose[key]) parts.push(say("rx." + key, { time: seconds(dose[key]) }));
    }
    if (dose.sessions) {
      const daily = dose.sessions % 7 === 0;
      parts.push(say(daily ? "rx.per-day" : "rx.per-week", { n: daily ? dose.sessions / 7 : dose.sessions }));
    }
    if (dose.effort) parts.push(say("rx.effort", { effort: range(dose.effort, say) }));
    return parts.length ? parts.join(", ") : null;
  }

  /** @param {Peak[]} peaks @param {Person} person @param {any} say */
  function load(peaks, person, say) {
    if (!peaks.length) return say("rx.no-load");
    const loads = peaks.map((peak) => {
      const text = say("rx.peak", { works: peak.works, moment: say.number(peak.peak, peak.peak >= 10 ? 0 : 1) });
      return peak.capacity === null
        ? text
        : text + ", " + say("rx.capacity", { share: say.number(100 * peak.capacity, 0) });
    });
    const who = say("rx.person", { mass: say.number(person.mass), stature: say.number(person.stature), body: person.body });
    return say("rx.load", { loads: loads.join("; "), person: who });
  }

  /** @param {any} known @param {any} say @returns {string[]} */
  function criteria(known, say) {
    const parts = [];
    if (known.goOn.length) {
      let text = known.goOn.join("; ");
      if (known.after) {
        const key = known.after[1] === "sessions" ? "progress.sessions" : "progress.days";
        text += "; " + say("rx.after", { after: say(key, { n: known.after[0] }) });
      }
      parts.push(say("rx.go-on", { criteria: text }));
    }
    if (known.following) parts.push(say("rx.next", { title: known.following }));
    if (known.backOff.length) parts.push(say("rx.back-off", { criteria: known.backOff.join("; ") }));
    return parts;
  }

  /**
   * @param {any} known the `notes` of a sheet record
   * @param {string} side left, right, both, or "" where both work together
   * @param {Object<string, any> | null} dose @param {Peak[]} peaks @param {Person} person
   * @param {string} date such as 2026-05-01 @param {any} say
   */
  rungbook.prescriptionLine = function (known, side, dose, peaks, person, date, say) {
    const written = notation(dose, say);
    const levels = known.levels.map((/** @type {any[]} */ [rung, of, ladder]) => say("rx.rung", { rung, of, ladder }));
    return [
      `${date} ${known.title}`,
      side || !known.oneSided ? say("rx.side", { side: say("rx." + (side || "together")) }) : "",
      written ? say("rx.dose", { dose: written }) : say("rx.no-dose"),
      load(peaks, person, say),
      known.equipment.length
        ? say("rx.equipment", { equipment: known.equipment.join(", ") })
        : say("rx.no-equipment"),
      say("rx.position", { position: known.position }),
      levels.length ? say("rx.start", { levels: levels.join("; ") }) : "",
      ...criteria(known, say),
      say("rx.diary"),
      say("rx.described", { library: known.library, page: known.page }),
    ]
      .filter(Boolean)
      .map((part) => part.split(/\s+/).filter(Boolean).join(" "))
      .join(" | ");
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

  /**
   * The lines of the chosen exercises, with the loads of the patient on this page if one is set.
   * @param {{id: string, side: string, dose: Object<string, any> | null}[]} items
   * @returns {Promise<string[]>}
   */
  rungbook.prescriptionLines = async function (items) {
    const say = rungbook.messages(await rungbook.load("words/en"));
    return Promise.all(items.map(async (item) => {
      const record = await rungbook.load("sheet/" + item.id);
      const { peaks, person } = await rungbook.patient.peaks(item.id, record, item.side);
      const dose = rungbook.doseInput.merged(record.dose, item.dose);
      return rungbook.prescriptionLine(record.notes, record.oneSided ? item.side : "", dose, peaks, person,
        rungbook.today(), say);
    }));
  };
})();
