// @ts-check
"use strict";
/** After a session: a form on the exercise's page. What is entered stays in its fields alone. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const OUTCOMES = new Map([["stop", "Stop"], ["back", "Back"], ["stay", "Stay"], ["criteria-met", "Criteria met"], ["cannot-say", "Cannot say"]]);
  const MET = new Map([[true, "yes"], [false, "no"], [null, "not known"]]);
  /** Key, what it is called, most, unit. @type {[string, string, number, string][]} */
  const NUMBERS = [
    ["painBefore", "Pain before", 10, "of 10"], ["painDuring", "Pain during, the worst", 10, "of 10"],
    ["painNight", "Pain that night", 10, "of 10"], ["painNextMorning", "Pain the next morning", 10, "of 10"],
    ["effort", "Effort", 10, "of 10"], ["sessions", "Sessions on this exercise", 10000, ""],
    ["weeks", "Weeks on this exercise", 5200, ""], ["missedWeeks", "Weeks missed", 5200, ""],
  ];
  const ANSWERS = [["", "not said"], ["yes", "yes"], ["no", "no"]];
  const SETTLED = [["", "not said"], ["12", "that night"], ["24", "by the next morning"], ["48", "in two days"], ["168", "in a week"], ["not", "not yet"]];
  const SWELLING = [["", "not said"], ["none", "none"], ["less", "less than before"], ["same", "the same"], ["more", "more than before"]];

  /** @param {HTMLDetailsElement} fold */
  function start(fold) {
    const id = fold.dataset.after || "";
    const form = /** @type {HTMLFormElement} */ (fold.querySelector("[data-after-form]"));
    const place = /** @type {HTMLElement} */ (fold.querySelector("[data-after-said]"));
    const el = rungbook.element;
    /** @type {any} */
    let record = null;
    const { field, value, text, select, box, mark, amount } = rungbook.fields(form, "after");
    const rules = () => record.rules[Number(value("ladder")) || 0];

    /** Everything that is asked: danger signs first. */
    function drawForm() {
      const { flags, orders, backOff, onward } = rules();
      const lists = [["back-off", "Back off when", backOff], ...onward.map((/** @type {any} */ own) => [own.to || "goal", `Go on to ${own.title} when`, own.when])];
      const words = lists.flatMap(([list, title, criteria]) => criteria.map((/** @type {any} */ one, /** @type {number} */ i) =>
        (one.words === undefined ? null : select(`answer ${list} ${i + 1}`, `${title}: ${one.words}`, ANSWERS))).filter(Boolean));
      const dated = orders.some((/** @type {any[]} */ [, time]) => time && time[0] !== null);
      rungbook.fill(form,
        el("fieldset", {}, el("legend", {}, "Danger signs"), ...flags.map((/** @type {string[]} */ [key, title]) => box("flag", key, title)),
          box("none", "none", flags.length ? "Looked for, and none of these" : "Looked for, and none"), select("givingWay", "The joint gives way", ANSWERS)),
        el("fieldset", {}, el("legend", {}, "What happened"), ...NUMBERS.slice(0, 4).map(([key, title, , unit]) => text(key, `${title}, ${unit}`)),
          select("settled", "Pain was back at its level", SETTLED), select("swelling", "Swelling", SWELLING),
          text("done", "Done", "Such as 3 x 15, 3 x 30 s, 3 x 5 of 15 s."), text("effort", "Effort, of 10"), ...NUMBERS.slice(5).map(([key, title]) => text(key, title)),
          ...(dated ? [text("operation", "Weeks since the operation")] : [])),
        ...(words.length ? [el("fieldset", {}, el("legend", {}, "Criteria in words"), ...words)] : []),
        ...(record.tests.length ? [el("fieldset", {}, el("legend", {}, "Tests"), ...record.tests.map((/** @type {string[]} */ [key, title, unit]) => text(`test ${key}`, `${title}, ${unit}`)))] : []),
        el("fieldset", {}, el("legend", {}, "Last time"), text("last", "Its line for the notes", "Paste it, to see both and to know what held twice."), select("heldLast", "The criteria held last time too", ANSWERS)));
    }

    /** The ladder that is meant, where several hold the exercise. */
    function drawLadders() {
      if (record.rules.length < 2) return;
      const chosen = select("ladder", "On the ladder", record.rules.map((/** @type {any} */ one, /** @type {number} */ i) => [String(i), one.ladderTitle]));
      form.prepend(chosen);
    }

    const yesNo = (/** @type {string} */ name) => (value(name) === "" ? null : value(name) === "yes");

    /** What the fields say. @param {string[]} wrong */
    function session(wrong) {
      const found = rungbook.sessionLine.nothing();
      const flags = new Set([...form.querySelectorAll('input[name="flag"]:checked')].map((one) => /** @type {HTMLInputElement} */ (one).value));
      found.redFlags = flags.size || form.querySelector('input[name="none"]:checked') ? flags : null;
      for (const [key, title, most] of NUMBERS) found[key] = amount(key, title, most, wrong);
      for (const name of ["givingWay", "heldLast"]) found[name] = yesNo(name);
      found.settled = value("settled") === "" ? null : value("settled") === "not" ? Infinity : Number(value("settled"));
      found.swelling = value("swelling") || null;
      const done = rungbook.sessionLine.done(value("done"));
      const unread = value("done") !== "" && !("sets" in done);
      if (mark("done", unread ? `Done: “${value("done")}” is not such as 3 x 15.` : "")) wrong.push("done");
      Object.assign(found, done);
      for (const select of form.querySelectorAll('select[name^="answer "]')) {
        const { name, value: told } = /** @type {HTMLSelectElement} */ (select);
        if (told) found.answers.set(name.slice("answer ".length), told === "yes");
      }
      for (const [key, title] of record.tests) {
        const result = amount(`test ${key}`, title, 10000, wrong);
        if (result !== null) found.tests.set(key, result);
      }
      const last = value("last");
      found.last = last ? rungbook.sessionLine.read(last) : null;
      if (mark("last", last && !found.last ? "Last time: nothing of a session is in that line, or a pain above 10." : "")) wrong.push("last");
      return found;
    }

    /** @param {any} one */
    const ofStep = (one) => ["criterion", "least time", "two sessions"].includes(one.rule) && one.to;

    /** @param {any} one */
    function ruleWords(one) {
      const titles = new Map(rules().titles);
      return `${one.rule}${ofStep(one) ? ` for ${titles.get(one.to) || one.to}` : ""}: ${one.says}${one.source ? ` (${one.source})` : ""}`;
    }

    function judge() {
      /** @type {string[]} */
      const wrong = [];
      const today = session(wrong);
      const weeks = amount("operation", "Weeks since the operation", 520, wrong);
      if (wrong.length) {
        rungbook.fill(place, el("p", { class: "after-outcome" }, "No answer until what is wrong above is mended."));
        return;
      }
      const found = rungbook.after.after(rules(), today, weeks);
      const titles = new Map(rules().titles);
      const links = found.to.flatMap((/** @type {string} */ to) => [" ", to === id ? "" : rungbook.answers.exerciseLink(to, titles.get(to) || to)]);
      const line = rungbook.sessionLine.write(today);
      const both = today.last ? [el("p", { class: "entry-note" }, `Last time: ${rungbook.sessionLine.write(today.last)}`)] : [];
      rungbook.fill(place, el("p", { class: "after-outcome", role: "status" }, el("strong", {}, `${OUTCOMES.get(found.outcome)}:`), ` ${found.advice}`, ...links),
        ...(found.conflict.length ? [el("p", {}, "The rules disagree, and the more cautious holds:"), el("ul", {}, ...found.conflict.map((/** @type {any} */ one) => el("li", {}, ruleWords(one))))] : []),
        el("details", {}, el("summary", {}, "Every rule, and whether it holds"),
          el("ul", {}, ...found.rules.map((/** @type {any} */ one) => el("li", {}, el("b", {}, `${MET.get(one.met)} · `), ruleWords(one))))),
        ...(line ? [el("p", {}, "For the notes: ", el("span", { "data-after-line": true }, line))] : []), ...both);
    }

    async function open() {
      if (!fold.open || record) return;
      try {
        record = await rungbook.load("after/" + id);
      } catch {
        rungbook.fill(place, el("p", { class: "empty" }, "The rules of this exercise are missing: build the site again."));
        return;
      }
      drawForm();
      drawLadders();
      judge();
    }

    fold.addEventListener("toggle", () => void open());
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("input", (event) => {
      const target = /** @type {HTMLInputElement} */ (event.target);
      if (target.name === "none") form.querySelectorAll('input[name="flag"]').forEach((one) => (/** @type {HTMLInputElement} */ (one).checked = false));
      if (target.name === "flag") form.querySelectorAll('input[name="none"]').forEach((one) => (/** @type {HTMLInputElement} */ (one).checked = false));
      if (target.name === "ladder") {
        const chosen = target.value;
        drawForm();
        drawLadders();
        /** @type {HTMLInputElement} */ (field("ladder")).value = chosen;
      }
      judge();
    });
    window.addEventListener("pageshow", (event) => {
      if (event.persisted && record) {
        form.reset(); // a page kept alive must not come back with another patient
        judge();
      }
    });
    void open();
  }

  document.addEventListener("DOMContentLoaded", () => {
    document.querySelectorAll("[data-after]").forEach((fold) => start(/** @type {HTMLDetailsElement} */ (fold)));
  });
})();
