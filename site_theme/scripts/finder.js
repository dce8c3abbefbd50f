// @ts-check
"use strict";
/**
 * The finder: not tolerated, because of …; what to give instead, and what every filter hid.
 * The question is in the address, so that an exercise's page can link to it; limits stay in the tab.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const LISTS = ["because", "without", "not-in", "avoid", "restriction", "lifted", "kind-of-work", "area"];
  const FILTERS = ["without", "not-in", "avoid", "restriction", "kind-of-work", "area", "max", "bearing"];
  const KEYS = ["exercise", "irritability", "since", ...LISTS, "max", "bearing"];
  /** @param {string} id */
  const byId = (id) => /** @type {any} */ (document.getElementById(id));

  /** The exercise's data with the profiles of all that works the same or leads to it. @param {any} library @param {string} id @param {string[]} rungs */
  async function gather(library, id, rungs) {
    const [record, relief] = await Promise.all([rungbook.load("exercise/" + id), rungbook.load("relief/" + id)]);
    const near = rungbook.profiles.profiles(record.profiles);
    const here = near.get(id) || null;
    const numbers = here
      ? here.works.map((/** @type {string} */ action) => library.worked.indexOf(action)).filter((/** @type {number} */ n) => n >= 0)
      : [];
    const files = await Promise.all(numbers.map((/** @type {number} */ n) => rungbook.load("profiles/" + n)));
    const all = new Map(near);
    for (const file of files) for (const [key, one] of rungbook.profiles.profiles(file)) all.set(key, one);
    const apart = await Promise.all(rungs.filter((one) => !all.has(one)).map((one) => rungbook.load("exercise/" + one)));
    for (const one of apart) {
      const own = rungbook.profiles.profiles(one.profiles).get(one.id);
      if (own) all.set(one.id, own);
    }
    all.delete(id);
    return { record, relief: whole(relief), here, all };
  }

  /** @param {any} features @param {any} gathered @param {any} library @param {Map<string, number>} below @param {Map<string, any>} cuts */
  function candidates(features, gathered, library, below, cuts) {
    const { relief, here, all } = gathered;
    const feature = features.get(here.id);
    const itself = { kind: "same", profile: here, changes: [], cut: cuts.get(here.id), feature: Object.assign({}, feature, { id: `${here.id}--to-limits` }) };
    const found = [itself, ...variations(relief.same, "same", library)];
    for (const [id, profile] of all) {
      const near = below.has(id);
      if (!near && !rungbook.easier.shareWorks(profile, here)) continue;
      found.push({ kind: near ? "neighbour" : "library", profile, feature: features.get(id), cut: cuts.get(id),
        changes: rungbook.easier.differences(profile, features.get(id), here, feature) });
    }
    return found.concat(variations(relief.solved, "solved", library));
  }

  /** Computed answers with each row of numbers in its place: the file says it once. @param {any} file */
  function whole(file) {
    /** @param {any} part @returns {any} */
    const within = (part) => {
      if (Array.isArray(part)) return part.map(within);
      if (part === null || typeof part !== "object") return part;
      if ("=" in part) return file.rows[part["="]];
      return Object.fromEntries(Object.entries(part).map(([key, one]) => [key, within(one)]));
    };
    return within(file.value);
  }

  /** Variations made when the site was built, with their own profiles. @param {any} file @param {string} kind @param {any} library */
  function variations(file, kind, library) {
    if (!file) return [];
    const profiles = rungbook.profiles.profiles({ axes: file.axes, rows: file.variants.map((/** @type {any} */ one) => one.row) });
    for (const one of file.variants) {
      // Numbers for the patient are looked up by id, as those of the library's own exercises are.
      rungbook.register("exercise/" + one.row.id, { id: one.row.id, title: one.feature.title, scaling: one.scaling,
        profiles: { axes: file.axes, rows: [one.row] } });
    }
    return file.variants.map((/** @type {any} */ one) => ({
      kind, profile: profiles.get(one.row.id), changes: one.changes, dose: one.dose, cut: one.cut,
      feature: Object.assign({}, one.feature, {
        id: one.row.id,
        angles: one.feature.angles.map((/** @type {any[]} */ [name, ...curve]) => [name, rungbook.filters.spread(curve)]),
        breaks: rungbook.filters.breaksOf(one.feature.breaks, library),
        kinds: rungbook.filters.kindsOf(one.feature.kinds, library),
      }),
    }));
  }

  /**
   * Asks the same as the form, without the form: for links, tests and other scripts.
   * @param {string} id @param {string[]} because @param {any} filters @param {string} irritability
   */
  rungbook.findEasier = async function (id, because, filters, irritability) {
    const limited = rungbook.filters.aboutLoad(filters) || rungbook.easier.ordered(await rungbook.load("library"), id).size > 0;
    const [library, graph, edges, angles, file] = await Promise.all([rungbook.load("library"), rungbook.load("graph"), rungbook.load("edges"),
      rungbook.filters.anglesFor(filters), limited ? rungbook.load("within") : null]);
    const features = rungbook.filters.features(graph, library, angles);
    const ways = rungbook.routes.ways(graph, edges);
    const below = rungbook.routes.rungsBelow(ways, id);
    const gathered = await gather(library, id, [...below.keys()]);
    if (!gathered.here) return { options: [], leftOut: [], nothing: "not known", here: null, feature: features.get(id), library };
    const orders = rungbook.easier.ordered(library, id);
    const all = Object.assign({}, filters, { restrictions: new Set([...filters.restrictions, ...orders]) });
    const cuts = new Map(file ? features.values().map((/** @type {any} */ one, /** @type {number} */ i) => [one.id, file.rows[i]]) : []);
    const found = candidates(features, gathered, library, below, cuts);
    const rules = rungbook.profiles.rules(library);
    const answer = rungbook.easier.easier(library, rules, gathered.here, features.get(id), found, because, all, irritability, below, rungbook.routes.rungsAbove(ways, id));
    const doses = new Map(found.filter((/** @type {any} */ one) => one.dose).map((/** @type {any} */ one) => [one.profile.id, one.dose]));
    return Object.assign(answer, { here: gathered.here, feature: features.get(id), library, orders, doses, features });
  };

  async function start() {
    const form = byId("finder-form");
    if (!form) return;
    form.hidden = false;
    const { state, element: el, fill } = rungbook;
    const { optionItem, addButton, NOTHING, REASON_WORDS } = rungbook.answerItems;
    const results = byId("finder-results");
    const count = byId("finder-count");
    const place = byId("finder-options");
    const hiddenPlace = byId("finder-hidden");
    const heading = byId("finder-results-title");
    /** @type {any} */
    let library;
    try {
      library = await rungbook.load("library");
      await rungbook.load("graph");
    } catch {
      results.hidden = false;
      count.textContent = "The data of the finder is missing: build the site again.";
      return;
    }
    const picker = rungbook.picker(byId("finder-exercise"), (/** @type {string | null} */ id) => {
      chosen = id !== null;
      state.set({ exercise: id });
    });
    let turn = 0;
    let chosen = false; // just now, on this page
    let reasonsTouched = false;

    /** The reasons ticked; load until somebody says. @returns {string[]} */
    function becauseNow() {
      const ticked = state.all("because");
      return ticked.length || reasonsTouched ? ticked : ["load"];
    }

    /** No answer, and why. @param {string} words @param {...Node} more */
    function noAnswer(words, ...more) {
      results.hidden = false;
      count.textContent = words;
      fill(place, ...more);
      fill(hiddenPlace);
    }

    /** On a phone the answers are far below what was chosen. */
    function scrollToAnswers() {
      if (!chosen || !window.matchMedia("(max-width: 45rem) and (pointer: coarse)").matches) return;
      chosen = false;
      byId("finder-exercise").blur(); // its keyboard would cover them
      heading.scrollIntoView();
    }

    function fillForm() {
      for (const name of LISTS) {
        const set = new Set(name === "because" ? becauseNow() : state.all(name));
        for (const box of form.querySelectorAll(`input[name="${name}"]`)) box.checked = set.has(box.value);
      }
      const irritability = state.get("irritability") || "moderate";
      for (const radio of form.querySelectorAll('input[name="irritability"]')) radio.checked = radio.value === irritability;
      const many = FILTERS.reduce((sum, name) => sum + state.all(name).filter(Boolean).length, 0);
      byId("filters-set").textContent = many ? `${many} set` : "none set";
      const limits = state.all("max").map((/** @type {string} */ text) => {
        const button = el("button", { type: "button", class: "quiet-act", "aria-label": `Lift the limit ${text}°` }, "Lift");
        button.addEventListener("click", () => {
          state.set({ max: state.all("max").filter((/** @type {string} */ other) => other !== text) });
          byId("limit-joint").focus();
        });
        return el("p", { class: "limit-row" }, text.replace("=", " no more than ").replace(/-/g, " ") + "°", " ", button);
      });
      fill(byId("finder-limits"), ...limits);
      if (document.activeElement !== byId("finder-since") && byId("finder-since").getAttribute("aria-invalid") !== "true") {
        byId("finder-since").value = state.get("since") || "";
      }
      drawOrders();
      if (document.activeElement !== byId("finder-bearing") && byId("finder-bearing").getAttribute("aria-invalid") !== "true") {
        byId("finder-bearing").value = state.get("bearing") || "";
      }
    }

    /** What the orders ticked say, and which of their rows hold in the week given. */
    function drawOrders() {
      const filters = rungbook.filters.fromState(library);
      const ticked = library.restrictions.filter((/** @type {any[]} */ [key]) => filters.restrictions.has(key));
      const dated = ticked.some((/** @type {any[]} */ row) => row[3].some((/** @type {any[]} */ [start]) => start !== null));
      byId("finder-weeks").hidden = !dated;
      for (const box of form.querySelectorAll("[data-lifted-of]")) {
        const row = ticked.find((/** @type {any[]} */ [key]) => key === box.dataset.liftedOf);
        box.hidden = !row || !row[3].some((/** @type {any[]} */ time) => time[2] === "surgeon" || time[2] === "criterion");
      }
      const week = filters.weeks === null
        ? "Weeks since the operation are not entered: all rows hold, so that the strictest does."
        : `Week ${rungbook.answers.number(filters.weeks, 1)}: a date opens a phase; whether the patient passes it, criteria and the surgeon decide.`;
      fill(byId("finder-orders"), ...ticked.map((/** @type {any[]} */ [, title, words]) => el("details", {},
        el("summary", {}, `What “${title}” orders`),
        el("ul", {}, ...words.map((/** @type {string} */ line) => el("li", {}, line))))),
        ...(dated ? [el("p", { class: "entry-note" }, week)] : []),
        ...(ticked.length ? [el("p", { class: "entry-note" }, "The library's orders are examples until the order for this patient is confirmed.")] : []));
    }

    /** @param {any} answer */
    function drawHidden(answer) {
      /** @type {Map<string, any[]>} */
      const groups = new Map();
      for (const one of answer.leftOut) {
        const key = JSON.stringify([one.objection.filter, one.objection.value]);
        groups.set(key, [...(groups.get(key) || []), one]);
      }
      const most = [...groups].sort(([, a], [, b]) => b.length - a.length);
      const parts = most.map(([key, hid]) => {
        const [filter, value] = JSON.parse(key);
        const mine = rungbook.asked.WHOLE.has(filter) ? state.get(filter) : state.all(filter).includes(value);
        const items = hid.map((one) => el("li", {}, `${one.title}: ${one.objection.words}`));
        const button = mine ? el("button", { type: "button", class: "quiet-act" }, "Lift this filter") : null;
        if (button) button.addEventListener("click", () => rungbook.asked.lift(filter, value));
        return el("details", {}, el("summary", {}, `${rungbook.asked.title(library, filter, value)} hides ${hid.length}`),
          el("ul", {}, ...items),
          mine ? el("p", {}, button) : ["load", "too-large", "one-leg"].includes(filter) ? null : el("p", { class: "entry-note" }, "Ordered by this exercise's ladder: it stays in force."));
      });
      fill(hiddenPlace, ...parts);
    }

    /** @param {any} answer @param {string[]} because */
    function drawOptions(answer, because) {
      const first = answer.options.filter((/** @type {any} */ option) => option.slot);
      const rest = answer.options.filter((/** @type {any} */ option) => !option.slot);
      const items = (/** @type {any[]} */ some) => el("ol", { class: "options" }, ...some.map((option) => optionItem(option, answer)));
      if (answer.options.length) {
        fill(place, answer.nothing ? el("p", { class: "empty" }, NOTHING[answer.nothing]) : el("section", { class: "option-kind", id: "first-answers" }, items(first)),
          rest.length ? el("section", { class: "option-kind", "aria-labelledby": "also-less" }, el("h3", { id: "also-less" }, "Also less"), items(rest)) : "");
        return;
      }
      const dropped = because.length > 1 ? because.map((reason) => {
        const button = el("button", { type: "button", class: "quiet-act" }, `Without “${REASON_WORDS[reason]}”`);
        button.addEventListener("click", () => state.set({ because: because.filter((other) => other !== reason) }));
        return button;
      }) : [];
      const next = answer.leftOut.length
        ? "Lift a filter above, or ask for less:"
        : dropped.length ? "Ask for less at once:" : "What would fill the gap can be computed:";
      fill(place, el("p", { class: "empty" }, NOTHING[answer.nothing] || ""), el("p", { class: "empty" }, next), ...(dropped.length ? [el("p", { class: "option-actions" }, ...dropped)] : []),
        el("p", { class: "empty" }, el("code", {}, `rungbook fill EASIER ${answer.feature.id}`),
          " proposes exercises between an easier one and this; ",
          el("a", { href: `${rungbook.root()}exercises/${encodeURIComponent(answer.feature.id)}.html` }, "the exercise's page"), " has the rest."));
    }

    /** No exercise named: everything that fits the limits, lightest first. @param {number} mine the turn */
    async function showWithin(mine) {
      const filters = rungbook.filters.fromState(library);
      const answer = await rungbook.within.ask(filters);
      if (mine !== turn) return;
      const many = answer.fitting.length;
      heading.textContent = "What fits";
      count.textContent = (many ? `${rungbook.answers.count(many, "exercise")} ${many === 1 ? "fits" : "fit"}, lightest first` : "Nothing fits all of these limits at once") +
        (answer.leftOut.length ? ` · ${answer.leftOut.length} left out` : "");
      drawHidden(answer);
      if (many) {
        fill(place, el("ol", { class: "options" }, ...answer.fitting.map((/** @type {any} */ one) =>
          rungbook.within.item(one, addButton(one.id, one.title, null)))));
      } else {
        fill(place, el("p", { class: "empty" }, answer.most
          ? `Most is left out by “${rungbook.asked.title(library, answer.most[2].filter, answer.most[2].value)}”: ${answer.most[1]} by it alone.${answer.most[2].filter === "restriction" ? " An order is changed by who gave it." : " See what fits without it."}`
          : "The library has no exercise there."));
      }
      rungbook.patient.refresh(results);
    }

    async function show() {
      const mine = (turn += 1);
      const id = state.get("exercise");
      fillForm();
      await picker.show(id);
      if (mine !== turn) return;
      heading.textContent = "Instead";
      const unread = rungbook.asked.unread(library, KEYS);
      if (unread.length) {
        noAnswer("No answer yet: what is asked cannot be read.", rungbook.asked.notice(unread));
        return;
      }
      if (!id && picker.unnamed()) {
        noAnswer("What stands in the field names no exercise: choose one of its list, or empty it.");
        return;
      }
      if (!id && FILTERS.some((name) => state.get(name))) {
        results.hidden = false;
        await showWithin(mine);
        return;
      }
      if (!id || !picker.value()) {
        noAnswer(id ? `No exercise is called “${id}”: choose one above.` : "Choose the exercise above: what it asks for, and what asks for less, comes up here. Or leave it empty and say what the patient may do: everything that fits comes up.");
        return;
      }
      const because = becauseNow();
      if (!because.length) {
        noAnswer("Because of what? Tick at least one reason.");
        return;
      }
      const irritability = state.get("irritability") || "moderate";
      let answer;
      try {
        answer = await rungbook.findEasier(id, because, rungbook.filters.fromState(library), irritability);
      } catch {
        noAnswer("The data of this exercise is missing: build the site again.");
        return;
      }
      if (mine !== turn) return;
      results.hidden = false;
      const words = because.map((/** @type {string} */ reason) => REASON_WORDS[reason]).join(" and ");
      if (!answer.here) {
        noAnswer("No load is computed for this exercise, so nothing can be compared with it. Its page lists easier and harder ones.");
        return;
      }
      const many = answer.options.length;
      count.textContent = (many ? `${rungbook.answers.count(many, "option")} with less ${words}` : `Nothing with less ${words}`) +
        (answer.leftOut.length ? ` · ${answer.leftOut.length} left out` : "") +
        (answer.here.moments.size ? ` · compared with ${answer.feature.title}` : "");
      drawHidden(answer);
      drawOptions(answer, because);
      rungbook.patient.refresh(results);
    }

    for (const name of LISTS) {
      for (const box of form.querySelectorAll(`input[name="${name}"]`)) {
        box.addEventListener("change", () => {
          reasonsTouched = reasonsTouched || name === "because";
          state.set({ [name]: [...form.querySelectorAll(`input[name="${name}"]:checked`)].map((one) => one.value) });
        });
      }
    }
    for (const radio of form.querySelectorAll('input[name="irritability"]')) {
      radio.addEventListener("change", () => state.set({ irritability: radio.value === "moderate" ? null : radio.value }));
    }
    byId("limit-add").addEventListener("click", () => {
      const angle = byId("limit-angle");
      const text = angle.value.trim().replace(",", ".").replace("−", "-");
      const wrong = !/^-?\d+(\.\d+)?$/.test(text) || Math.abs(Number(text)) > 360;
      byId("limit-error").textContent = wrong ? "An angle in degrees, such as 90." : "";
      angle.setAttribute("aria-invalid", String(wrong));
      if (wrong) {
        angle.focus();
        return;
      }
      angle.value = "";
      state.set({ max: [...new Set([...state.all("max"), `${byId("limit-joint").value}=${Number(text)}`])] });
    });
    byId("limit-angle").addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
      if (event.key !== "Enter") return;
      event.preventDefault();
      byId("limit-add").click();
    });
    byId("finder-bearing").addEventListener("change", () => {
      const input = byId("finder-bearing");
      const text = input.value.trim().replace(",", ".").replace("%", "").trim();
      const wrong = text !== "" && !rungbook.asked.share(text);
      byId("bearing-error").textContent = wrong ? "A share of body weight from 0 to 100, such as 50." : "";
      input.setAttribute("aria-invalid", String(wrong));
      if (!wrong) state.set({ bearing: text || null });
    });
    byId("finder-since").addEventListener("change", () => {
      const input = byId("finder-since");
      const wrong = input.value.trim() !== "" && rungbook.filters.weeks(input.value) === null;
      byId("since-error").textContent = wrong ? "A number of weeks from 0 to 520, such as 4." : "";
      input.setAttribute("aria-invalid", String(wrong));
      if (!wrong) state.set({ since: input.value.trim() || null });
    });
    byId("finder-clear").addEventListener("click", () => {
      byId("finder-since").value = "";
      state.set(Object.fromEntries([...FILTERS, "since", "lifted"].map((name) => [name, null])));
      byId("finder-filters").querySelector("summary").focus();
    });
    form.addEventListener("submit", (/** @type {Event} */ event) => event.preventDefault());
    state.onChange(() => void renew());
    await renew();

    async function renew() {
      await show();
      rungbook.asked.focusAfterLift(results, heading);
      scrollToAnswers();
    }
  }

  document.addEventListener("DOMContentLoaded", () => void start());
})();
