// @ts-check
"use strict";
/** A handle on the load curve that moves the figure through its eleven computed postures. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const LAST = 10;
  const STEP_MS = 170;
  const still = window.matchMedia("(prefers-reduced-motion: reduce)");

  /**
   * The drawings of `site/data/motion_data.py`, one a posture.
   * @param {{box: string, runs: {nodes: any[], rows: string[]}[]}} record @returns {Element[]}
   */
  function postures(record) {
    return record.runs.flatMap(({ nodes, rows }) => {
      /** @type {number[]} */
      const speed = [];
      /** @type {number[]} */
      const value = [];
      return rows.map((row) => {
        (row.match(/-?\d+/g) || []).forEach((change, i) => {
          speed[i] = (speed[i] || 0) + Number(change);
          value[i] = (value[i] || 0) + speed[i];
        });
        let next = 0;
        const filled = (/** @type {any} */ node) => node.map((/** @type {any} */ part) => Array.isArray(part) ? filled(part)
          : typeof part === "string" ? part
          : Object.fromEntries(Object.entries(part).map(([name, text]) => [name, text.replace(/#/g, () => String(value[next++] / 10))])));
        return rungbook.build(["svg", { viewBox: record.box, class: "drawn-figure" }, ...filled(nodes)]);
      });
    });
  }

  /** A curve as it is shown now: its points and moments by way. @param {Element} curve */
  function linesOf(curve) {
    return [...curve.querySelectorAll(".curve-line")].map((line) => ({
      way: line.getAttribute("data-way") || "",
      places: (line.getAttribute("points") || "").split(" ").map((pair) => pair.split(",")),
      moments: (line.getAttribute("data-moments") || "").split(" ").map(Number),
    }));
  }

  /** `45° of knee flexion, 38 N·m`. @param {Element} curve @param {number} phase */
  function words(curve, phase) {
    const { number, moment } = rungbook.answers;
    const angle = Number((curve.getAttribute("data-angles") || "").split(" ")[phase]);
    const ways = new Map([["up", " lifting"], ["down", " lowering"]]);
    const told = linesOf(curve).map(({ way, moments }) =>
      moment(moments[phase]) + (ways.get(way) || "") + (moments[phase] < -0.05 ? " (the opposite muscles work)" : ""));
    return [`${number(angle)}° of ${curve.getAttribute("data-of")}`, ...told].join(", ");
  }

  /** The line and the dots of the handle, over the curve. @param {Element} curve */
  function markOver(curve) {
    const [left, top] = ["left", "top"].map((name) => curve.getAttribute("data-" + name) || "");
    const dots = linesOf(curve).map(() => ["circle", { class: "scrub-dot", r: "9" }]);
    return rungbook.build(["svg", { class: "scrub-mark", viewBox: curve.getAttribute("viewBox") || "", "aria-hidden": "true" },
      ["line", { class: "scrub-line", x1: left, x2: left, y1: top, y2: "162" }], ...dots]);
  }

  /** @param {HTMLElement} place a curve's place that names the exercise it moves */
  function attach(place) {
    const curve = place.querySelector("svg.drawn-curve");
    if (!curve) return;
    const mark = markOver(curve);
    const works = (curve.getAttribute("data-works") || "").replace(/-/g, " ");
    const handle = /** @type {HTMLInputElement} */ (rungbook.element("input", {
      type: "range", class: "scrub-handle", min: 0, max: LAST, step: 1, value: 0, "aria-label": `Posture along the movement, ${works}` }));
    const said = rungbook.element("p", { class: "scrub-words", "aria-hidden": "true" });
    const play = rungbook.element("button", { type: "button", class: "scrub-play quiet-act" }, "Play once");
    const panel = rungbook.element("div", { class: "scrub-panel", "aria-hidden": "true", hidden: true });
    /** @type {Promise<Element[]> | null} */
    let drawings = null;
    let playing = 0;

    function tell() {
      const phase = Number(handle.value);
      const text = words(/** @type {Element} */ (curve), phase);
      handle.setAttribute("aria-valuetext", text);
      said.textContent = text;
      const lines = linesOf(/** @type {Element} */ (curve));
      const x = lines[0].places[phase][0];
      for (const end of ["x1", "x2"]) mark.querySelector("line").setAttribute(end, x);
      mark.querySelectorAll("circle").forEach((/** @type {Element} */ dot, /** @type {number} */ i) => {
        dot.setAttribute("cx", x);
        dot.setAttribute("cy", lines[i].places[phase][1]);
      });
    }

    async function show() {
      tell();
      drawings = drawings || rungbook.load("motion/" + place.dataset.motion).then(postures);
      const drawn = await /** @type {Promise<Element[]>} */ (drawings).catch(() => null);
      if (!drawn) {
        drawings = null; // the next use tries again
        return;
      }
      panel.hidden = false;
      panel.replaceChildren(drawn[Number(handle.value)]);
    }

    function stop() {
      window.clearTimeout(playing);
      playing = 0;
      play.textContent = "Play once";
    }

    /** @param {number} phase */
    function go(phase) {
      handle.value = String(phase);
      void show();
    }

    /** One posture after the other, from the first to the last. @param {number} phase */
    function run(phase) {
      go(phase);
      if (phase === LAST) stop();
      else playing = window.setTimeout(run, STEP_MS, phase + 1);
    }

    handle.addEventListener("input", () => {
      stop();
      void show();
    });
    play.addEventListener("click", () => {
      if (playing) return stop();
      if (still.matches) return;
      play.textContent = "Stop";
      run(0);
    });
    /** @param {PointerEvent} event */
    function follow(event) {
      const value = (/** @type {string} */ name) => Number(/** @type {Element} */ (curve).getAttribute(name));
      const box = mark.getBoundingClientRect();
      const x = ((event.clientX - box.left) / box.width) * value("width");
      const share = (x - value("data-left")) / (value("data-right") - value("data-left"));
      const phase = Math.min(Math.max(Math.round(share * LAST), 0), LAST);
      stop();
      if (panel.hidden || phase !== Number(handle.value)) go(phase);
    }
    mark.addEventListener("pointerdown", (/** @type {PointerEvent} */ event) => {
      mark.setPointerCapture(event.pointerId);
      follow(event);
    });
    mark.addEventListener("pointermove", (/** @type {PointerEvent} */ event) => {
      if (mark.hasPointerCapture(event.pointerId)) follow(event);
    });
    // A curve drawn again for a patient, or for nobody any more, says so by its class.
    new MutationObserver(tell).observe(curve, { attributes: true, attributeFilter: ["class"] });

    const board = rungbook.element("div", { class: "scrub-curve" });
    curve.before(board);
    board.append(curve, mark);
    const controls = rungbook.element("div", { class: "scrub screen-only" }, handle, rungbook.element("div", { class: "scrub-beside" }, said, play));
    board.after(controls, panel);
    place.classList.add("scrubbed");
    tell();
  }

  document.querySelectorAll("[data-motion]").forEach((place) => attach(/** @type {HTMLElement} */ (place)));
})();
