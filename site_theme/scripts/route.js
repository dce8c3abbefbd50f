// @ts-check
"use strict";
/** The route page: from, to, avoid, after a flare-up; every rung, the first to do first, with the step to the next. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const FILTERS = ["without", "not-in", "avoid"];
  const KEYS = ["from", "to", ...FILTERS, "restriction", "lifted", "since", "max", "bearing", "kind-of-work"];

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
      from: rungbook.picker(byId("route-from"), (/** @type {string | null} */ id) => state.set({ from: id })),
      to: rungbook.picker(byId("route-to"), (/** @type {string | null} */ id) => state.set({ to: id })),
    };
    for (const box of form.querySelectorAll('input[type="checkbox"]')) {
      box.addEventListener("change", () =>
        state.set({ [box.name]: [...form.querySelectorAll(`input[name="${box.name}"]:checked`)].map((one) => one.value) }));
    }
    const flareUp = byId("route-flare-up"); // what happened to a patient stays out of the address
    flareUp.addEventListener("change", () => void show());
    let turn = 0;

    /** @param {string} from @param {any} filters @returns {Map<string, string>} */
    function leftOut(from, filters) {
      const found = new Map();
      const asked = filters.without.size || filters.notIn.size || filters.avoid.size || rungbook.filters.aboutLoad(filters);
      for (const one of asked ? features.values() : []) {
        const objection = one.id === from ? null : rungbook.filters.objection(filters, one, library);
        if (objection) found.set(one.id, objection.words);
      }
      return found;
    }

    /** Limits that came along in the tab: an order cuts a way as a missing chair does. @param {{key: string, value: string, title: string}[]} force */
    function drawForce(force) {
      const el = rungbook.element;
      const items = force.map(({ key, value, title }) => {
        const button = el("button", { type: "button", class: "quiet-act", "aria-label": `Lift: ${title}` }, "Lift");
        button.addEventListener("click", () => {
          rungbook.asked.lift(key, value);
          byId("route-filters").querySelector("summary").focus();
        });
        return el("li", {}, title, " ", button);
      });
      rungbook.fill(byId("route-in-force"), ...(items.length ? [el("p", {}, "In force for this patient:"), el("ul", {}, ...items)] : []));
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
      if (!rungbook.routes.ladderOf(library, [from, to])) way.prepend(el("p", {}, apart(from, to, false)));
      status.textContent = `No route. ${message}`;
    }

    /** The first thing to do after a flare-up: what the rule says and where it leads. @param {any[]} rule @param {string} from @param {string} back */
    function firstOf([lasts, what, where, source], from, back) {
      const el = rungbook.element;
      const nothing = back === from && (where === "one rung" || where === "entry");
      return el("div", { class: "way-back" },
        el("p", {}, el("strong", {}, `A flare-up of ${titleOf(from)}, ${lasts}: `), what),
        el("p", {}, nothing ? "Nothing easier leads to it: do less of it, then call. " : "",
          back === from ? "Stay on " : "Back to ", rungbook.answers.exerciseLink(back, titleOf(back)), "."),
        source ? el("p", { class: "entry-note" }, `The rule's source: ${source}`) : null);
    }

    /** What the ladders of both ends are, where none holds both. @param {string} from @param {string} to @param {boolean} measured */
    function apart(from, to, measured) {
      const on = (/** @type {string} */ id) => library.ladders.filter((/** @type {any} */ one) => one.rungs.includes(id))
        .map((/** @type {any} */ one) => one.title).join(" and ") || "no ladder";
      return `No ladder holds both: ${titleOf(from)} is on ${on(from)}, ${titleOf(to)} on ${on(to)}.` +
        (measured ? ` Steps are measured by what ${titleOf(to)} itself demands.` : "");
    }

    /** @param {any} found @param {any[]} records @param {any} off @param {HTMLElement | null} first */
    function draw(found, records, off, first) {
      const el = rungbook.element;
      const steps = records.slice(0, -1).map((_, i) => stepOf(records, found, i, off));
      const missing = steps.reduce((sum, step) => sum + step.missing, 0);
      const goal = found.rungs[found.rungs.length - 1];
      const items = found.rungs.map((/** @type {string} */ id, /** @type {number} */ i) => el("li", { class: "way-rung" },
        rungbook.answers.exerciseLink(id, titleOf(id)), " ", el("span", { class: "entry-note", "data-peak": id }),
        i < steps.length ? onwardOf(id, found, records[i], steps[i], i, goal) : null));
      rungbook.fill(way, first, el("ol", { class: "way" }, ...items));
      const largest = found.sizes.length ? `largest step: ${rungbook.answers.stepsText(found.largest)}` : "nothing to climb";
      const parts = [rungbook.answers.count(found.rungs.length, "rung"), largest,
        missing ? `${rungbook.answers.count(missing, "rung")} missing` : "no rung missing",
        found.days ? `not before ${rungbook.answers.count(found.days, "day")}` : "no least time is written"];
      status.textContent = parts.join(" · ") + (found.ladder ? ` · measured on ${found.ladder.title}` : "");
      if (!found.ladder && found.rungs.length > 1) way.prepend(el("p", { class: "entry-note" }, apart(found.rungs[0], goal, true)));
      rungbook.patient.refresh(way);
    }

    /** From a rung to the next: when, and how large the step is. @param {string} id @param {any} found @param {any} record @param {any} step @param {number} i @param {string} goal */
    function onwardOf(id, found, record, step, i, goal) {
      const el = rungbook.element;
      const onward = record.onward.find((/** @type {any} */ one) => one.to === found.rungs[i + 1]);
      const words = rungbook.answers.stepWords(step);
      return el("div", { class: words.over ? "way-step way-over" : "way-step", "data-step": `${id} ${found.rungs[i + 1]}`,
          "data-ladder": found.ladder ? found.ladder.id : "", ...(found.ladder ? {} : { "data-goal": goal }) },
        onward.when.length
          ? el("div", {}, el("p", {}, `Go on when all of these hold${onward.after ? `, after ${onward.after} at least` : ""}:`),
              el("ul", {}, ...onward.when.map((/** @type {string} */ line) => el("li", {}, line))))
          : el("p", { class: "empty" }, "No criteria are written for this step."),
        rungbook.answers.stepSize(step),
        words.changes.length ? el("p", { class: "entry-note", "data-changes": true }, words.changes.join(" · ")) : null,
        onward.because ? el("p", { class: "entry-note" }, "Why this step: " + onward.because) : null);
    }

    /** The step from a rung to the next, as the question measures it. @param {any[]} records @param {any} found @param {number} i @param {any} off */
    function stepOf(records, found, i, off) {
      const onward = records[i].onward.find((/** @type {any} */ one) => one.to === found.rungs[i + 1]);
      const own = onward.steps.find((/** @type {any[]} */ pair) => found.ladder && pair[0] === found.ladder.id);
      if (own) return own[1];
      const profiles = rungbook.profiles.profiles(records[i + 1].profiles);
      const ruler = { limits: rungbook.profiles.limitsOf(library.limits), scale: off && off.scale };
      return rungbook.steps.between(profiles.get(found.rungs[i]), profiles.get(found.rungs[i + 1]), ruler, rungbook.profiles.rules(library));
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
      const force = rungbook.asked.inForce(library);
      const many = FILTERS.reduce((sum, name) => sum + state.all(name).length, force.length);
      byId("filters-set").textContent = many ? `${many} set` : "";
      drawForce(force);
      const unread = rungbook.asked.unread(library, KEYS);
      if (unread.length) {
        results.hidden = false;
        status.textContent = "No answer yet: what is asked cannot be read.";
        rungbook.fill(way, rungbook.asked.notice(unread));
        return;
      }
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
      const out = leftOut(from, filters);
      const rule = flareUp.value === "" ? null : library.flareUp[Number(flareUp.value)];
      const between = rungbook.routes.ladderOf(library, [from, to]) ? null : await rungbook.routes.offLadder(library, graph, to);
      const back = rule ? rungbook.routes.backTo(library, ways, from, to, rule[2], out, between) : from;
      const off = rungbook.routes.ladderOf(library, [back, to]) ? null : await rungbook.routes.offLadder(library, graph, to);
      const found = back === to ? { rungs: [to], sizes: [], largest: 0, days: 0, ladder: rungbook.routes.ladderOf(library, [to]) }
        : rungbook.routes.route(library, ways, back, to, back === from ? out : leftOut(back, filters), off);
      if (mine !== turn) return;
      if (!found.rungs) {
        noWay(found.message, found.leftOut, back, to);
        return;
      }
      const records = await Promise.all(found.rungs.map((/** @type {string} */ id) => rungbook.load("exercise/" + id)));
      if (mine === turn) draw(found, records, off, rule ? firstOf(rule, from, back) : null);
    }

    const renew = async () => {
      await show();
      rungbook.asked.focusAfterLift(results, byId("route-title"));
    };
    state.onChange(() => void renew());
    await renew();
  }

  document.addEventListener("DOMContentLoaded", () => void start());
})();
