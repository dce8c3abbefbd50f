// @ts-check
"use strict";
/** Curves and staircases drawn again for the patient; the drawings tell their own geometry. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const HATCH_PX = 9;
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
    const desc = svg.querySelector("desc");
    if (desc) {
      const [angles, first] = [demand.angles.map((/** @type {number} */ one) => `${rungbook.answers.number(one)}°`), demand.curve];
      desc.textContent = `Redrawn for one patient. From ${angles[0]} to ${angles[10]}: starts at ${figures(first[0], 3)} N·m, peaks at ${figures(demand.peak, 3)} N·m at ${rungbook.answers.number(demand.peakAt)}°, ends at ${figures(first[10], 3)} N·m.`;
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
   * @param {any} judge what the ladder measures the patient's steps by, from `patient_steps.js`
   * @param {any[]} steps the patient's, each with `from`, `to` and `step`
   */
  function staircase(svg, demandOf, judge, steps) {
    const treads = [...svg.querySelectorAll(".stair-tread")];
    const was = treads.map((tread) => Number(tread.getAttribute("data-height")));
    const scaled = svg.getAttribute("data-scaled");
    const rungOf = (/** @type {Element} */ tread) => tread.getAttribute("data-rung") || "";
    const now = treads.map((tread, i) => {
      const height = judge && rungOf(tread) ? rungbook.patientSteps.heightOf(judge, rungOf(tread)) : null;
      return scaled ? height : was[i];
    });
    // A missing tread keeps its share of the way between the rungs around it.
    const known = now.map((height, i) => (height === null ? -1 : i)).filter((i) => i >= 0);
    if (!known.length) return;
    const filled = now.map((height, i) => {
      if (height !== null) return height;
      const below = known.filter((k) => k < i).pop();
      const above = known.find((k) => k > i);
      if (below === undefined || above === undefined) return was[i];
      const span = was[above] - was[below];
      const share = span ? (was[i] - was[below]) / span : 0.5;
      return /** @type {number} */ (now[below]) + share * (/** @type {number} */ (now[above]) - /** @type {number} */ (now[below]));
    });
    const [low, high] = [Math.min(...filled), Math.max(...filled)];
    const top = Number(svg.getAttribute("data-top"));
    const bottom = Number(svg.getAttribute("data-bottom"));
    const y = (/** @type {number} */ height) => bottom - (high > low ? (height - low) / (high - low) : 0) * (bottom - top);
    const byEnd = new Map(treads.map((tread, i) => [tread.getAttribute("data-x1"), filled[i]]));
    const byRung = new Map(treads.map((tread, i) => [tread.getAttribute("data-rung"), filled[i]]));
    treads.forEach((tread, i) => {
      tread.setAttribute("d", `M${tread.getAttribute("data-x0")},${px(y(filled[i]))}H${tread.getAttribute("data-x1")}`);
    });
    svg.querySelectorAll(".stair-riser").forEach((riser, i) => {
      if (i + 1 < filled.length) riser.setAttribute("d", `M${riser.getAttribute("data-x")},${px(y(filled[i]))}V${px(y(filled[i + 1]))}`);
    });
    svg.querySelectorAll(".stair-leader").forEach((leader) => {
      const height = byEnd.get(leader.getAttribute("data-x"));
      const rest = (leader.getAttribute("d") || "").replace(/^M[^H]*/, "");
      if (height !== undefined) leader.setAttribute("d", `M${px(Number(leader.getAttribute("data-x")) + 2)},${px(y(height))}${rest}`);
    });
    svg.querySelectorAll(".stair-bracket").forEach((bracket) => {
      const from = byRung.get(bracket.getAttribute("data-from"));
      const reach = reachOf(judge, steps.find((one) => one.from === bracket.getAttribute("data-from") && one.to === bracket.getAttribute("data-to")));
      if (from === undefined || reach === null) return;
      const x = Number(bracket.getAttribute("data-x"));
      const end = y(reach);
      const shown = Math.max(end, top - 20);
      bracket.setAttribute("d", `M${px(x - 4)},${px(y(from))}h4V${px(shown)}${shown === end ? "h-4" : ""}`);
    });
    svg.querySelectorAll(".stair-demand").forEach((text) => {
      const demand = demandOf(text.getAttribute("data-rung") || "");
      if (demand && text.getAttribute("data-rung")) text.textContent = rungbook.answers.moment(demand.peak);
    });
    if (scaled) ticks(svg, treads, y, low, high, scaled === "moments" ? judge.ruler.scale : null);
    hatching(svg, treads, filled, steps, judge, y);
    const told = notes(svg, steps);
    const desc = svg.querySelector("desc");
    if (desc) {
      desc.textContent = "Redrawn for one patient. " + treads.filter((tread) => tread.getAttribute("data-rung")).map((tread) => {
        const rung = tread.getAttribute("data-rung") || "";
        const label = labelOf(svg, rung);
        const title = label ? [...label.querySelectorAll(".stair-title")].map((line) => line.textContent).join(" ") : rung;
        return `${[title + ": " + rungbook.answers.moment((demandOf(rung) || { peak: 0 }).peak), ...(told.get(rung) || [])].join(", ")}.`;
      }).join(" ");
    }
    const missing = [...svg.querySelectorAll(".stair-missing-title")];
    if (!missing.length) return;
    missing.forEach((line) => (line.textContent += " *"));
    const words = "* for the reference person";
    const height = Number((svg.getAttribute("viewBox") || "").split(" ")[3]);
    svg.append(drawn("text", { class: "stair-note", x: 8, y: height - 3 }, words));
  }

  /** An element of a drawing. @param {string} tag @param {Object<string, string | number>} attributes @param {string} [words] */
  function drawn(tag, attributes, words) {
    const made = document.createElementNS("http://www.w3.org/2000/svg", tag);
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, String(value));
    if (words) made.textContent = words;
    return made;
  }

  /** The label of a rung. @param {Element} svg @param {string} rung */
  const labelOf = (svg, rung) =>
    [...svg.querySelectorAll(".stair-label")].find((label) => [...label.querySelectorAll(".stair-demand")].some((line) => line.getAttribute("data-rung") === rung));

  /** One line a step, with the load there where one action has it, as `drawing/staircase.py`. @param {Element} svg @param {Element[]} treads @param {(height: number) => number} y @param {number} low @param {number} high @param {any} scale of one action, or null */
  function ticks(svg, treads, y, low, high, scale) {
    svg.querySelectorAll(".stair-rule").forEach((part) => part.remove());
    const [unit, ...old] = svg.querySelectorAll(".stair-tick");
    old.forEach((part) => part.remove());
    if (!unit) return;
    const x0 = Number(treads[0].getAttribute("data-x0"));
    const x1 = treads[treads.length - 1].getAttribute("data-x1") || "";
    const standard = scale && [...scale.standards.values()][0];
    const fresh = [];
    let last = Infinity;
    for (let step = Math.ceil(low - 1e-6); step <= Math.floor(high + 1e-6); step += 1) {
      if (last - y(step) < 16) continue;
      last = y(step);
      const nm = standard ? rungbook.steps.loadAt(standard, scale.ratio, step) : step;
      fresh.push(drawn("path", { class: "stair-rule", d: `M${x0},${px(last)}H${x1}` }),
        drawn("text", { class: "stair-tick", x: px(x0 - 6), y: px(last + 4), "text-anchor": "end" },
          standard && nm < 10 ? figures(nm, 2) : String(Math.round(nm))));
    }
    unit.after(...fresh);
  }

  /** How high one step may lead, from what the way so far has prepared. @param {any} judge @param {any} one with its `step` @returns {number | null} */
  function reachOf(judge, one) {
    const demand = one && one.step.axes.get("demand");
    const scale = judge && judge.ruler.scale;
    if (!demand || !scale || !scale.standards.has(demand.works)) return null;
    return rungbook.steps.height(scale.standards.get(demand.works), scale.ratio, demand.prepared) + 1;
  }

  /** Steps that are too large, as `drawing/staircase.py` hatches them. @param {Element} svg @param {Element[]} treads @param {number[]} heights of each tread @param {any[]} steps @param {any} judge @param {(height: number) => number} y */
  function hatching(svg, treads, heights, steps, judge, y) {
    svg.querySelectorAll(".stair-hatch").forEach((part) => part.remove());
    const index = (/** @type {string} */ rung) => treads.findIndex((tread) => tread.getAttribute("data-rung") === rung);
    const side = (/** @type {number} */ i, /** @type {string} */ end) => Number(treads[i].getAttribute("data-" + end));
    for (const one of steps) {
      const { from, to, step } = one;
      const [first, last] = [index(from), index(to)];
      if (first < 0 || last < 0 || step.size <= 1 + 1e-6) continue;
      const high = y(heights[last]);
      const reach = reachOf(judge, one);
      const allowed = y(reach === null ? heights[first] : reach);
      const riser = side(last, "x0");
      const [x0, x1, y0, y1] = step.worst === "demand"
        ? [Math.max(side(Math.max(last - 1, 0), "x0") + 2, riser - 22), riser, allowed, high]
        : [riser, side(last, "x1"), high + 13, high + 3];
      const left = Math.min(x0, x1 - 10);
      let strokes = "";
      for (let at = Math.max(y0, y1); at - Math.min(y0, y1) > 2; at -= HATCH_PX) {
        const rise = Math.min(x1 - left, at - Math.min(y0, y1));
        strokes += `M${px(left)},${px(at)}l${px(rise)},${px(-rise)}`;
      }
      treads[0].before(drawn("path", { class: "stair-hatch", d: strokes }));
    }
  }

  /** The words of a step, in full and short, as `drawing/treads.py` has them. @param {any} step @param {boolean} accepted */
  function noteWords(step, accepted) {
    const size = step.size > 1 + 1e-6 && step.size < 1.05 ? Math.max(step.size, 1.01).toFixed(2) : step.size.toFixed(1);
    const axis = step.worst === "demand" ? "" : ` in ${rungbook.answers.axisTitle(step.worst) || step.worst}`;
    if (step.size <= 1 + 1e-6) return [`${size} of a step${axis}`, `${size} of a step`];
    const rest = accepted ? "accepted" : `${Math.max(1, step.missing)} missing`;
    return [`${size} steps${axis}, ${rest}`, `${size} steps`];
  }

  /**
   * The note of the step into each rung, in the lines the drawing has for it.
   * @param {Element} svg @param {any[]} steps
   * @returns {Map<string, string[]>} by rung
   */
  function notes(svg, steps) {
    const told = new Map();
    const width = Number((svg.getAttribute("viewBox") || "").split(" ")[2]);
    for (const label of svg.querySelectorAll(".stair-label")) {
      const lines = [...label.querySelectorAll(".stair-note")];
      const demand = label.querySelector(".stair-demand");
      const rung = demand && demand.getAttribute("data-rung");
      const into = steps.filter((one) => one.to === rung).sort((a, b) => b.step.size - a.step.size);
      if (!lines.length || !rung || !into.length) {
        lines.forEach((line) => line.remove());
        continue;
      }
      const accepted = lines.some((line) => /accepted/.test(line.textContent || ""));
      const large = into.filter((one) => one.step.size > 1 + 1e-6);
      const words = [...new Set((large.length ? large : into.slice(0, 1)).map((one) => noteWords(one.step, accepted)[0]))];
      told.set(rung, words);
      const room = Math.floor((width - Number(lines[0].getAttribute("x")) - 8) / 6.3);
      const full = words.flatMap((one) => wrapped(one, room));
      const before = lines.map((line) => line.textContent || "");
      const same = before.join(" ") === words.join(" "); // as the drawing broke them
      const fit = same ? before : full.length <= lines.length ? full : [noteWords(into[0].step, accepted)[1]];
      lines.forEach((line, i) => {
        if (i >= fit.length) line.remove();
        else line.textContent = fit[i];
        line.classList.toggle("stair-too-large", large.length > 0 && !accepted);
      });
    }
    return told;
  }

  /** @param {string} words @param {number} room in letters */
  function wrapped(words, room) {
    /** @type {string[]} */
    const lines = [];
    for (const word of words.split(" ")) {
      const last = lines[lines.length - 1];
      if (last !== undefined && last.length + 1 + word.length <= room) lines[lines.length - 1] = `${last} ${word}`;
      else lines.push(word);
    }
    return lines;
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

  rungbook.redraw = { curve, staircase, map, exerciseOf, niceTop };
})();
