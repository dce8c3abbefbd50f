// @ts-check
"use strict";
/** Curves and staircases drawn again for the patient; the drawings tell their own geometry. */
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
      if (line) line.setAttribute("points", points.join(" "));
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
    const label = svg.querySelector(".curve-peak-label");
    if (label && demand.peak > 0) {
      label.textContent = `${figures(demand.peak, 3)} N·m at ${rungbook.answers.number(demand.peakAt)}°`;
      label.setAttribute("x", px(Math.min(Math.max(x(demand.phase), left + 60), right - 46)));
      label.setAttribute("y", px(y(demand.peak) - 11));
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

  /**
   * @param {Element} svg a `.drawn-staircase`
   * @param {(id: string) => any} demandOf the patient's demand of a rung
   * @param {string | null} goal the ladder's, a tenth of whose demand is the least on the scale
   */
  function staircase(svg, demandOf, goal) {
    const treads = [...svg.querySelectorAll(".stair-tread")];
    const was = treads.map((tread) => Number(tread.getAttribute("data-nm")));
    const now = treads.map((tread) => {
      const demand = demandOf(tread.getAttribute("data-rung") || "");
      return demand ? demand.peak : null;
    });
    // A missing tread keeps its share of the way between the rungs around it.
    const known = now.map((nm, i) => (nm === null ? -1 : i)).filter((i) => i >= 0);
    if (!known.length) return;
    const aim = goal ? demandOf(goal) : null;
    const floor = aim ? Math.max(1, 0.1 * aim.peak) : Number(svg.getAttribute("data-floor-nm"));
    const log = (/** @type {number} */ nm) => Math.log(Math.max(nm, floor));
    const filled = now.map((nm, i) => {
      if (nm !== null) return nm;
      const below = known.filter((k) => k < i).pop();
      const above = known.find((k) => k > i);
      if (below === undefined || above === undefined) return was[i];
      const span = log(was[above]) - log(was[below]);
      const share = span ? (log(was[i]) - log(was[below])) / span : 0.5;
      return Math.exp(log(/** @type {number} */ (now[below])) + share * (log(/** @type {number} */ (now[above])) - log(/** @type {number} */ (now[below]))));
    });
    const [low, high] = [Math.min(...filled.map(log)), Math.max(...filled.map(log))];
    const top = Number(svg.getAttribute("data-top"));
    const bottom = Number(svg.getAttribute("data-bottom"));
    const y = (/** @type {number} */ nm) => bottom - (high > low ? (log(nm) - low) / (high - low) : 0) * (bottom - top);
    const byEnd = new Map(treads.map((tread, i) => [tread.getAttribute("data-x1"), filled[i]]));
    const byRung = new Map(treads.map((tread, i) => [tread.getAttribute("data-rung"), filled[i]]));
    treads.forEach((tread, i) => {
      tread.setAttribute("d", `M${tread.getAttribute("data-x0")},${px(y(filled[i]))}H${tread.getAttribute("data-x1")}`);
    });
    svg.querySelectorAll(".stair-riser").forEach((riser, i) => {
      if (i + 1 < filled.length) riser.setAttribute("d", `M${riser.getAttribute("data-x")},${px(y(filled[i]))}V${px(y(filled[i + 1]))}`);
    });
    svg.querySelectorAll(".stair-leader").forEach((leader) => {
      const nm = byEnd.get(leader.getAttribute("data-x"));
      const rest = (leader.getAttribute("d") || "").replace(/^M[^H]*/, "");
      if (nm !== undefined) leader.setAttribute("d", `M${px(Number(leader.getAttribute("data-x")) + 2)},${px(y(nm))}${rest}`);
    });
    svg.querySelectorAll(".stair-bracket").forEach((bracket) => {
      const from = byRung.get(bracket.getAttribute("data-from"));
      if (from === undefined) return;
      const x = Number(bracket.getAttribute("data-x"));
      const end = y(Math.max(from, floor) * Number(bracket.getAttribute("data-limit")));
      const shown = Math.max(end, top - 20);
      bracket.setAttribute("d", `M${px(x - 4)},${px(y(from))}h4V${px(shown)}${shown === end ? "h-4" : ""}`);
    });
    svg.querySelectorAll(".stair-demand").forEach((text) => {
      const nm = byRung.get(text.getAttribute("data-rung"));
      if (nm !== undefined && text.getAttribute("data-rung")) text.textContent = rungbook.answers.moment(nm);
    });
    // Ticks, hatching and notes speak of the reference person; the table has the steps' words.
    svg.querySelectorAll(".stair-rule, .stair-tick, .stair-hatch, .stair-note").forEach((part) => part.remove());
  }

  /** The exercise of a map's node: the one it links to, else the page's own. @param {Element} node @returns {string} */
  function exerciseOf(node) {
    const link = node.querySelector("a[href]");
    const match = /exercises\/([^#/]+)\.html/.exec((link && link.getAttribute("href")) || "");
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
  }

  rungbook.redraw = { curve, staircase, map, exerciseOf, niceTop };
})();
