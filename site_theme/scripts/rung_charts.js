// @ts-check
"use strict";
/** The charts of a ladder's rungs, drawn again for the patient as `drawing/rung_chart.py` draws them. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const ROOM = 0.35;

  /** How high one step leads from what the ways to a rung have prepared. @param {any} judge @param {any[]} into steps into the rung */
  function reachOf(judge, into) {
    const { scale } = judge.ruler;
    const reaches = into.flatMap((one) => [...(judge.prepared.get(one.from) || [])]
      .filter(([action]) => scale && scale.standards.has(action))
      .map(([action, nm]) => rungbook.steps.height(scale.standards.get(action), scale.ratio, nm) + 1));
    return reaches.length ? Math.max(...reaches) : null;
  }

  /**
   * @param {Element} svg a `.rung-chart`, of a rung or the head
   * @param {any} ladder @param {any} judge from `patient_steps.js`
   * @param {any[]} steps the patient's, each with `from`, `to` and `step`
   * @param {(id: string) => any} demandOf the patient's demand of a rung
   */
  function draw(svg, ladder, judge, steps, demandOf) {
    const heights = ladder.rungs.map((/** @type {string} */ id) => rungbook.patientSteps.heightOf(judge, id));
    const known = heights.filter((/** @type {number | null} */ one) => one !== null);
    if (!known.length) return;
    const end = Math.max(1, Math.max(...known) + ROOM);
    const at = (/** @type {number} */ height) => `${(100 * Math.max(0, Math.min(1, height / end))).toFixed(2)}%`;
    for (const mark of svg.querySelectorAll("[data-height]")) {
      const step = Number(mark.getAttribute("data-height"));
      for (const name of ["x", "x1", "x2"]) if (mark.hasAttribute(name)) mark.setAttribute(name, at(step));
      mark.toggleAttribute("hidden", step > end);
    }
    const { scale } = judge.ruler;
    const only = scale && scale.standards.size === 1 ? [...scale.standards.values()][0] : null;
    for (const tick of svg.querySelectorAll(".chart-load")) {
      if (only) tick.textContent = rungbook.answers.significant(rungbook.steps.loadAt(only, scale.ratio, Number(tick.getAttribute("data-height"))));
    }
    const row = /** @type {HTMLElement | null} */ (svg.closest("[data-rung]"));
    if (!row) {
      for (const line of svg.querySelectorAll(".chart-standard")) {
        if (only) for (const name of ["x1", "x2"]) line.setAttribute(name, at(rungbook.steps.height(only, scale.ratio, only)));
      }
      return;
    }
    const rung = row.dataset.rung || "";
    const height = heights[ladder.rungs.indexOf(rung)];
    const into = steps.filter((one) => one.to === rung);
    const reach = reachOf(judge, into);
    const band = svg.querySelector(".chart-band");
    if (band && reach !== null) {
      const low = Math.max(0, reach - 1);
      band.setAttribute("x", at(low));
      band.setAttribute("width", at(Math.min(reach, end) - low));
    }
    const words = svg.querySelector(".chart-words");
    const dot = svg.querySelector(".chart-dot");
    const demand = demandOf(rung);
    svg.querySelector(".chart-over")?.remove();
    if (height === null || !demand) {
      dot?.remove();
      if (words) words.textContent = "no number";
      return;
    }
    if (dot) dot.setAttribute("cx", at(height));
    if (words) {
      const left = height > 0.6 * end;
      words.setAttribute("x", at(height));
      words.setAttribute("dx", left ? "-11" : "11");
      words.setAttribute("text-anchor", left ? "end" : "start");
      words.textContent = rungbook.answers.moment(demand.peak);
    }
    if (reach !== null && height > reach && into.some((one) => one.step.size > 1 + 1e-6)) {
      const over = document.createElementNS("http://www.w3.org/2000/svg", "line");
      for (const [name, value] of Object.entries({ class: "chart-over", x1: at(reach), x2: at(height), y1: "15", y2: "15" })) over.setAttribute(name, value);
      (dot || svg).before(over);
    }
  }

  rungbook.rungCharts = { draw };
})();
