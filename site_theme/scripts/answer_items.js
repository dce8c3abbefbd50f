// @ts-check
"use strict";
/** One answer of the finder: its share, how much of each reason is left, what rises, in words. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const el = rungbook.element;
  /** @type {Object<string, string>} */
  const KIND_TITLES = {
    neighbour: "of its ladder",
    library: "elsewhere in the library",
    solved: "computed, not reviewed: cannot go on a sheet until saved and reviewed",
  };
  /** @type {Object<string, string>} */
  const SLOT_TITLES = { "a little less": "A little less", "about half": "About half", gentlest: "Gentlest" };
  /** @type {Object<string, string>} */
  const NOTHING = {
    none: "Nothing of the library, or computed from it, asks less of the same muscles.",
    "left out": "Everything that asks less is left out: what leaves most out stands first above.",
    "not known": "How much less these ask is not known, so none stands first.",
    "about the same": "What is listed asks about the same, so none stands first.",
    "too little": "What is listed asks less than a tenth of the standard exercise's load, so none stands first.",
  };
  const CONTRACTING = new Set(["lifting", "lowering", "holding"]);
  const ABOUT_THE_SAME = 0.98;
  const MOST_RISES = 2;
  /** @type {Object<string, string>} */
  const AXIS_OF = { bearing: "bearing", speed: "speed", volume: "volume" };
  /** @type {Object<string, string>} */
  const REASON_WORDS = {
    load: "load", range: "range", lengthening: "stretched position", bearing: "weight-bearing", position: "position",
    speed: "speed", volume: "volume", impact: "impact", lifting: "load while lifting", lowering: "load while lowering",
    holding: "load while holding", "next day": "work of one session",
  };

  /** @param {any} option @param {any} answer */
  function optionItem(option, answer) {
    const known = option.kind === "neighbour" || option.kind === "library";
    const ratio = option.ratio === null ? "–" : `${rungbook.answers.number(option.ratio, option.ratio >= 2 ? 1 : 2)} ×`;
    const small = option.demand === null ? "load not known" : rungbook.answers.moment(option.demand);
    const title = known ? rungbook.answers.exerciseLink(option.id, option.title) : el("span", { class: "entry-title" }, option.title);
    return el("li", { class: "option", "data-option": option.id },
      option.slot ? el("h3", { class: "option-slot" }, SLOT_TITLES[option.slot]) : null,
      el("div", { class: "option-figure" }, el("span", option.shortened ? {} : { "data-ratio": `${option.id} ${answer.here.id}` }, ratio), " ",
        el("small", option.shortened ? { "data-peak": option.id, "data-until": option.shortened.until } : { "data-peak": option.id }, small)),
      el("div", { class: "option-body" },
        el("div", { class: "neighbour-head" }, title),
        option.shortened ? el("p", { class: "option-cut" }, rungbook.within.cutWords(option.shortened)) : null,
        el("p", { class: "entry-note" }, facts(option, answer).join(" · ")),
        option.instead ? el("p", { class: "entry-note" }, rungbook.easier.insteadWords(option.instead)) : null,
        ...rises(option),
        el("p", { class: "option-actions" }, ...optionActions(option, answer, known))));
  }

  /** How much is left of each reason, and what else a clinician asks first. @param {any} option @param {any} answer @returns {string[]} */
  function facts(option, answer) {
    const left = [...option.eased].map(([reason, one]) => easedWords(reason, one)).filter(Boolean);
    const changes = option.changes.map((/** @type {[string, string]} */ [what, words]) => changeWords(what, words, answer.library));
    const cautions = option.feature.cautions.filter((/** @type {string} */ key) => !answer.feature.cautions.includes(key))
      .map((/** @type {string} */ key) => `caution: ${rungbook.filters.titleOf(answer.library.cautions, key).toLowerCase()}`);
    return [...(option.share !== null && option.share > ABOUT_THE_SAME ? ["about the same"] : []), ...left,
      option.kindOfWork === "none" ? "nothing has to act" : option.kindOfWork || "kind of work not known",
      ...changes, ...(option.feature.dose ? [option.feature.dose] : []), ...cautions,
      ...(option.backUp ? [`back up in ${rungbook.answers.count(option.backUp, "rung")}`] : []),
      ...(option.kind === "same" ? [] : [KIND_TITLES[option.kind]])];
  }

  /** What is left of a reason; load is the figure itself. @param {string} reason @param {any} one */
  function easedWords(reason, one) {
    if (reason === "load" || reason === "position" || reason === "impact") return "";
    if (CONTRACTING.has(reason)) {
      return one.now <= 0 ? `no ${reason}` : `still ${reason}, ${rungbook.answers.moment(one.now)} instead of ${rungbook.answers.moment(one.before)}`;
    }
    if (reason === "next day") return `${rungbook.answers.percent(one.share)} of the work`;
    if (reason === "range" || reason === "lengthening") return `${REASON_WORDS[reason]} ${rungbook.answers.number(one.before - one.now)}° less`;
    const value = (/** @type {number} */ it) => rungbook.answers.axisValue(AXIS_OF[reason], it);
    return `${REASON_WORDS[reason]} ${value(one.now)} instead of ${value(one.before)}`;
  }

  /** At most two things that ask for more. @param {any} option */
  function rises(option) {
    const words = option.rises.map(riseWords);
    if (!words.length) return [];
    const more = words.length - MOST_RISES;
    return [el("p", { class: "option-rises" }, `More: ${words.slice(0, MOST_RISES).join(", ")}${more > 0 ? `, and ${more} more` : ""}`)];
  }

  /** @param {any} option @param {any} answer @param {boolean} known */
  function optionActions(option, answer, known) {
    if (!known) return answer.doses.get(option.id) ? [addButton(answer.here.id, option.title, answer.doses.get(option.id))] : [];
    const route = `${rungbook.root()}route.html#from=${encodeURIComponent(option.id)}&to=${encodeURIComponent(answer.here.id)}`;
    return [option.backUp ? el("a", { href: route }, "Way back up") : "", addButton(option.id, option.title, null)];
  }

  /** @param {string} what @param {string} words @param {any} library */
  function changeWords(what, words, library) {
    if (what === "position") return rungbook.filters.titleOf(library.positions, words).toLowerCase();
    if (what === "equipment") {
      const keys = words.split(", ").map((key) => rungbook.filters.titleOf(library.equipment, key).toLowerCase());
      return `needs ${keys.join(", ")}`;
    }
    return words;
  }

  /** @param {string} name */
  function riseWords(name) {
    const axis = rungbook.answers.axisTitle(name);
    if (axis) return axis;
    return name.startsWith("weight on") ? name : `load at ${name.replace(/-/g, " ")}`;
  }

  /** @param {string} id @param {string} title @param {any} dose */
  function addButton(id, title, dose) {
    const button = el("button", { type: "button", class: "quiet-act", "aria-label": `Add to sheet: ${title}` }, "Add to sheet");
    button.addEventListener("click", () => {
      const items = rungbook.sheetState.chosen();
      items.push(rungbook.sheetState.item(id, "", dose));
      rungbook.sheetState.set(items);
      button.textContent = "On the sheet";
    });
    return button;
  }

  rungbook.answerItems = { optionItem, addButton, NOTHING, REASON_WORDS };
})();
