// @ts-check
"use strict";
/** The route page: from, to, avoid; every rung with the step to the next and its criteria. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const FILTERS = ["without", "not-in", "avoid"];

  /** @param {string} id */
  const byId = (id) => /** @type {any} */ (document.getElementById(id));

  async function start() {
    const form = byId("route-form");
    if (!form) return;
    form.hidden = false;
    const status = byId("route-status");
    const results = byId("route-results");
    const way = byId("route-way");
    const state = rungbook.state;
    /** @type {any} */
    let library;
    /** @type {any} */
    let graph;
    /** @type {any} */
    let edges;
    try {
      [library, graph, edges] = await Promise.all(
        [rungbook.load("library"), rungbook.load("graph"), rungbook.load("edges")]);
    } catch {
      results.hidden = false;
      status.textContent = "The data of the route page is missing: build the site again.";
      return;
    }
    const features = rungbook.filters.features(graph, library);
    const pickers = {
      from: rungbook.picker(byId("route-from"), (/** @type {string} */ id) => state.set({ from: id })),
      to: rungbook.picker(byId("route-to"), (/** @type {string} */ id) => state.set({ to: id })),
    };
    for (const box of form.querySelectorAll('input[type="checkbox"]')) {
      box.addEventListener("change", () =>
        state.set({ [box.name]: [...form.querySelectorAll(`input[name="${box.name}"]:checked`)].map((one) => one.value) }));
    }
    let turn = 0;

    /** @param {string} from @param {any} filters @returns {Map<string, string>} */
    function leftOut(from, filters) {
      const found = new Map();
      const asked = filters.without.size || filters.notIn.size || filters.avoid.size || filters.never.length ||
        filters.bearing !== null || filters.restrictions.size;
      for (const one of asked ? features.values() : []) {
        const objection = one.id === from ? null : rungbook.filters.objection(filters, one, library);
        if (objection) found.set(one.id, objection.words);
      }
      return found;
    }

    /** @param {string} id */
    const titleOf = (id) => features.get(id).title;

    /** @param {string} message @param {Map<string, string>} out @param {string} from @param {string} to */
    function noWay(message, out, from, to) {
      const el = rungbook.element;
      const links = el("p", {},
        el("a", { href: `${rungbook.root()}route.html#from=${encodeURIComponent(to)}&to=${encodeURIComponent(from)}` }, "Turn it round"),
        " · ", el("a", { href: `${rungbook.root()}finder.html#exercise=${encodeURIComponent(to)}&because=load` }, `Find something easier than ${titleOf(to)}`));
      const listed = [...out].slice(0, 12).map(([id, words]) => el("li", {}, rungbook.answers.exerciseLink(id, titleOf(id)), ` ${words}`));
      rungbook.fill(way,
        ...(out.size ? [el("p", {}, `${rungbook.answers.count(out.size, "exercise")} left out:`), el("ul", {}, ...listed)] : []),
        links);
      status.textContent = `No route. ${message}`;
    }

    /** @param {any} found @param {any[]} records */
    function draw(found, records) {
      const el = rungbook.element;
      const missing = records.slice(0, -1).reduce((sum, record, i) => sum + stepOf(record, found, i).missing, 0);
      /** @type {HTMLElement[]} */
      const items = [];
      found.rungs.forEach((/** @type {string} */ id, /** @type {number} */ i) => {
        items.push(el("li", { class: "way-rung" }, rungbook.answers.exerciseLink(id, titleOf(id)), " ",
          el("span", { class: "entry-note", "data-peak": id })));
        if (i === found.rungs.length - 1) return;
        const onward = records[i].onward.find((/** @type {any} */ one) => one.to === found.rungs[i + 1]);
        const step = stepOf(records[i], found, i);
        const words = rungbook.answers.stepWords(step);
        items.push(el("li", { class: words.over ? "way-step way-over" : "way-step", "data-step": `${id} ${found.rungs[i + 1]}`,
            "data-ladder": found.ladder && hasStep(found, i) ? found.ladder.id : "" },
          rungbook.answers.stepSize(step),
          words.changes.length ? el("p", { class: "entry-note", "data-changes": true }, words.changes.join(" · ")) : null,
          onward.because ? el("p", { class: "entry-note" }, "Why this step: " + onward.because) : null,
          onward.when.length
            ? el("div", {}, el("p", {}, `Go on when all of these hold${onward.after ? `, after ${onward.after} at least` : ""}:`),
                el("ul", {}, ...onward.when.map((/** @type {string} */ line) => el("li", {}, line))))
            : el("p", { class: "empty" }, "No criteria are written for this step.")));
      });
      rungbook.fill(way, el("ol", { class: "way", reversed: true }, ...items));
      const largest = found.sizes.length
        ? `largest step: ${rungbook.answers.stepsText(found.largest)}`
        : "nothing to climb";
      const parts = [rungbook.answers.count(found.rungs.length, "rung"), largest,
        missing ? `${rungbook.answers.count(missing, "rung")} missing` : "no rung missing",
        found.days ? `not before ${rungbook.answers.count(found.days, "day")}` : "no least time is written"];
      status.textContent = parts.join(" · ") + (found.ladder ? ` · measured by ${found.ladder.title}` : "");
      rungbook.patient.refresh(way);
    }

    /** Whether the ladder measures the step itself. @param {any} found @param {number} i */
    function hasStep(found, i) {
      const { rungs, steps } = found.ladder;
      return steps.some((/** @type {number[]} */ [a, b]) => rungs[a] === found.rungs[i] && rungs[b] === found.rungs[i + 1]);
    }

    /** @param {any} record @param {any} found @param {number} i */
    function stepOf(record, found, i) {
      const onward = record.onward.find((/** @type {any} */ one) => one.to === found.rungs[i + 1]);
      const own = onward.steps.find((/** @type {any[]} */ pair) => found.ladder && pair[0] === found.ladder.id);
      return (own || onward.steps[0])[1];
    }

    async function show() {
      const mine = (turn += 1);
      const from = state.get("from");
      const to = state.get("to");
      await Promise.all([pickers.from.show(from), pickers.to.show(to)]);
      for (const name of FILTERS) {
        const set = new Set(state.all(name));
        for (const box of form.querySelectorAll(`input[name="${name}"]`)) box.checked = set.has(box.value);
      }
      const filters = rungbook.filters.fromState(library);
      const many = FILTERS.reduce((sum, name) => sum + state.all(name).length, 0);
      byId("filters-set").textContent = many ? `${many} set` : "";
      if (!features.has(from) || !features.has(to)) {
        results.hidden = !from && !to;
        rungbook.fill(way);
        const lost = [from, to].filter((id) => id && !features.has(id));
        status.textContent = lost.length ? `No exercise is called “${lost[0]}”: choose one above.` : "Choose both ends.";
        return;
      }
      results.hidden = false;
      const angles = await rungbook.filters.anglesFor(filters);
      if (angles) features.addAngles(angles);
      const ways = rungbook.routes.ways(graph, edges);
      const found = rungbook.routes.route(library, ways, from, to, leftOut(from, filters));
      if (!found.rungs) {
        noWay(found.message, found.leftOut, from, to);
        return;
      }
      const records = await Promise.all(found.rungs.map((/** @type {string} */ id) => rungbook.load("exercise/" + id)));
      if (mine === turn) draw(found, records);
    }

    state.onChange(() => void show());
    await show();
  }

  document.addEventListener("DOMContentLoaded", () => void start());
})();
