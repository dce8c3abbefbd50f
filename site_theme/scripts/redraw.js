// @ts-check
"use strict";
/** Curves and maps drawn again for the patient; the drawings tell their own geometry. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const STEPS = [1, 1.5, 2, 3, 4, 5, 6, 8, 10];

  /** The highest tick, as `drawing/curve.py` takes it. @param {number} peak */
  function niceTop(peak) {
    if (peak <= 0) return 1;
    const power = 10 ** Math.floor(Math.log10(peak));
    return (STEPS.find((step) => step * power >= peak * (1 - 1e-9)) || 10) * power;
  }

  /** @param {number} value */
  const px = (value) => String(Math.round(value * 10) / 10);
  /** Three or four significant figures without an exponent. @param {number} value @param {number} digits */
  const figures = (value, digits) => String(Number(value.toPrecision(digits)));

  /**
   * @param {Element} svg a `.curve`
   * @param {any} demand from `scaling.js`
   * @param {{action: string, from: number, to: number} | null} arc
   */
  function curve(svg, demand, arc) {
    const value = (/** @type {string} */ name) => Number(svg.getAttribute("data-" + name));
    const [left, right, zero, top] = ["left", "right", "zero", "top"].map(value);
    const ways = demand.curves;
    const all = ways.flatMap((/** @type {any[]} */ pair) => pair[1]);
    const full = niceTop(Math.max(...all));
    const y = (/** @type {number} */ nm) => zero - nm * ((zero - top) / full);
    const x = (/** @type {number} */ phase) => left + ((right - left) * phase) / 10;
    for (const [way, moments] of ways) {
      const points = moments.map((/** @type {number} */ nm, /** @type {number} */ i) => `${px(x(i))},${px(y(nm))}`);
      const line = svg.querySelector(`[data-way="${way}"]`);
      if (line) {
        line.setAttribute("points", points.join(" "));
        line.setAttribute("data-moments", moments.join(" "));
      }
      if (way !== "down") {
        const area = svg.querySelector(".curve-area");
        if (area) area.setAttribute("points", [`${px(left)},${px(zero)}`, ...points, `${px(right)},${px(zero)}`].join(" "));
      }
    }
    svg.querySelectorAll(".curve-tick").forEach((tick) => {
      tick.textContent = figures(Number(tick.getAttribute("data-share")) * full, 4);
    });
    const peak = svg.querySelector(".curve-peak");
    if (peak) {
      peak.setAttribute("cx", px(x(demand.phase)));
      peak.setAttribute("cy", px(y(demand.peak)));
    }
    const shown = (svg.getAttribute("data-angles") || "").split(" ").map(Number);
    const turn = value("works-turn");
    const degrees = (/** @type {number} */ angle) => `${rungbook.answers.number(angle)}°`;
    const peakAt = degrees(turn ? turn * demand.peakAt : shown[demand.phase]);
    const label = svg.querySelector(".curve-peak-label");
    if (label && demand.peak > 0) {
      label.textContent = `${figures(demand.peak, 3)} N·m at ${peakAt}`;
      label.setAttribute("x", px(Math.min(Math.max(x(demand.phase), left + 60), right - 46)));
      label.setAttribute("y", px(y(demand.peak) - 11));
    }
    const desc = svg.querySelector("desc");
    if (desc) {
      const first = demand.curve;
      desc.textContent = `Redrawn for one patient. From ${degrees(shown[0])} to ${degrees(shown[10])} of ${svg.getAttribute("data-of")}: starts at ${figures(first[0], 3)} N·m, peaks at ${figures(demand.peak, 3)} N·m at ${peakAt}, ends at ${figures(first[10], 3)} N·m.`;
    }
    const tolerated = svg.querySelector(".curve-tolerated");
    if (tolerated && arc && arc.action === demand.works) {
      const span = demand.angles[10] - demand.angles[0];
      const ends = [arc.from, arc.to].map((end) => Math.min(Math.max((end - demand.angles[0]) / span, 0), 1)).sort((a, b) => a - b);
      if (Math.abs(span) > 1e-9) {
        tolerated.setAttribute("x", px(left + ends[0] * (right - left)));
        tolerated.setAttribute("width", px((ends[1] - ends[0]) * (right - left)));
      }
    }
  }

  /** The exercise of a map's node: the one it links to, else the page's own. @param {Element} node @returns {string} */
  function exerciseOf(node) {
    const link = node.querySelector("a[href]");
    const match = /(?:^|exercises\/)([^#/]+)\.html/.exec((link && link.getAttribute("href")) || "");
    if (match) return decodeURIComponent(match[1]);
    const page = document.querySelector("[data-load-of]");
    return link || !page ? "" : page.getAttribute("data-load-of") || "";
  }

  /**
   * Loads in a map's nodes; sizes on its arrows are the reference person's and go.
   * @param {Element} svg a `.drawn-map` @param {(id: string) => any} demandOf
   */
  function map(svg, demandOf) {
    for (const node of svg.querySelectorAll(".node")) {
      const demand = demandOf(exerciseOf(node));
      const line = [...node.querySelectorAll("text")].find((text) => /N·m\s*$/.test(text.textContent || ""));
      if (line && demand) line.textContent = `${figures(demand.peak, 3)} N·m`;
      else if (line) line.remove();
    }
    svg.querySelectorAll(".edge text").forEach((text) => text.remove());
    const desc = svg.querySelector("desc");
    if (desc) desc.textContent = "Loads are for this patient; the sizes of steps are left out.";
  }

  rungbook.redraw = { curve, map, exerciseOf, niceTop };
})();
