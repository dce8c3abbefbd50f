// @ts-check
"use strict";
/**
 * The printed sheet as elements, part for part as `documents/sheet_parts.html` writes it.
 *
 * @typedef {Object} Printed
 * @property {any} record of `data/sheet/<id>.js`
 * @property {any} part in the sheet's language
 * @property {string} side left, right, both, or "" where both sides work together
 * @property {Object<string, any> | null} dose
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});

  /** @param {any} say @param {any} frame @param {Printed[]} printed @param {{paper: string, large: boolean, weeks: number, today: string}} options */
  rungbook.patientSheet = function (say, frame, printed, options) {
    const el = rungbook.element;
    /** @param {string} language */
    const tongue = (language) => (language === say.language ? {} : { lang: language });
    /** @param {string | null} words */
    const note = (words) => (words ? el("p", { class: "sheet-note" }, words) : null);
    /** @param {string[]} lines @param {string} [language] */
    const list = (lines, language) =>
      el("ul", language ? tongue(language) : {}, ...lines.map((line) => el("li", {}, line)));

    /** The figure's tree with its few words in the sheet's language. @param {any} node */
    const translated = (node) =>
      typeof node === "string" ? say.phrase(node) : [node[0], node[1], ...node.slice(2).map(translated)];

    /** @param {Printed} item */
    function figure(item) {
      const side = item.side === "left" ? "left" : "right";
      const found = item.record.figures.find((/** @type {any} */ entry) => entry[0] === side);
      if (!found) return null;
      const caption = item.record.oneSided && item.side === "both" ? "figure.mirrored" : "figure.start-end";
      return el("div", { class: "sheet-figure" }, rungbook.build(translated(found[1])),
        el("p", { class: "sheet-caption" }, say(caption)));
    }

    /** @param {Printed} item @param {number} number */
    function exercise(item, number) {
      const part = item.part;
      const words = part.words.flatMap((/** @type {any} */ text) => [
        note(text.note),
        el("div", tongue(text.language), ...text.nodes.map((/** @type {any} */ node) => rungbook.build(node))),
      ]);
      return el("article", { class: "sheet-exercise" },
        el("div", { class: "sheet-top" },
          el("h2", {}, el("span", { class: "sheet-number" }, String(number)), " ",
            el("span", tongue(part.own_language), item.record.title)),
          item.record.oneSided ? el("p", { class: "sheet-side" }, say("side." + item.side)) : null,
          figure(item),
          el("div", { class: "sheet-dose" }, el("h3", {}, say("dose.heading")),
            ...rungbook.doseLines(item.dose, say).map((/** @type {string} */ line) => el("p", {}, line)))),
        el("div", { class: "sheet-words" }, el("h3", {}, say("words.heading")), ...words),
        part.ready.length
          ? el("div", { class: "sheet-ready" }, el("h3", {}, say("progress.heading")), note(part.note),
              list(part.ready, part.own_language),
              part.ready_after ? el("p", {}, part.ready_after) : null,
              el("p", {}, part.next_title ? say("progress.next", { title: part.next_title }) : say("progress.ask")))
          : null,
        part.do_less.length
          ? el("div", { class: "sheet-less" }, el("h3", {}, say("back.heading")), note(part.note),
              list(part.do_less, part.own_language),
              part.one_step_back ? el("p", {}, say("back.one-step", { title: part.one_step_back })) : null)
          : null,
        item.record.qr
          ? el("div", { class: "sheet-qr" }, rungbook.build(item.record.qr), el("p", {}, say("qr.words")))
          : null);
    }

    function boxes() {
      return el("div", { class: "sheet-boxes" },
        el("section", { class: "sheet-box sheet-stop" }, el("h2", {}, say("stop.heading")), list(frame.stop),
          el("p", {}, frame.stop_call, frame.contact ? " " : null,
            frame.contact ? el("span", tongue(frame.own_language), frame.contact) : null)),
        el("section", { class: "sheet-box sheet-urgent" }, el("h2", {}, say("urgent.heading")),
          frame.urgent.length ? list(frame.urgent) : null,
          frame.urgent_call ? el("p", {}, frame.urgent_call) : null,
          note(frame.urgent_note),
          frame.urgent_own ? el("p", tongue(frame.urgent_language), frame.urgent_own) : null));
    }

    /** Each rule once, with the exercises it is for where there are several. */
    function painBlocks() {
      /** @type {Map<string, {words: any, titles: string[]}>} */
      const blocks = new Map();
      for (const item of printed) {
        const key = JSON.stringify(item.part.pain);
        const known = blocks.get(key) || { words: item.part.pain, titles: [] };
        known.titles.push(item.record.title);
        blocks.set(key, known);
      }
      return [...blocks.values()].flatMap(({ words, titles }) => [
        ...(blocks.size > 1 ? titles : []).map((title) => el("p", { class: "sheet-for" }, say("pain.for", { title }))),
        note(words.note),
        ...words.lines.map((/** @type {string} */ line) => el("p", tongue(words.language), line)),
        words.source ? el("p", { class: "sheet-source" }, say("pain.source", { source: words.source })) : null,
      ]);
    }

    function flare() {
      const rows = frame.flare.map((/** @type {any} */ row) =>
        el("tr", {}, el("th", { scope: "row" }, row.lasts),
          el("td", {}, el("p", tongue(row.language), row.do),
            row.in_original ? el("p", { lang: frame.own_language }, row.in_original) : null,
            row.source ? el("p", { class: "sheet-source" }, say("pain.source", { source: row.source })) : null)));
      return el("section", { class: "sheet-rules" }, el("h2", {}, say("flare.heading")), note(frame.flare_note),
          el("table", {},
            el("thead", {}, el("tr", {}, el("th", { scope: "col" }, say("flare.lasts")),
              el("th", { scope: "col" }, say("flare.do")))),
            el("tbody", {}, ...rows)),
          frame.flare_source ? el("p", { class: "sheet-source" }, say("pain.source", { source: frame.flare_source })) : null);
    }

    function rules() {
      return [
        el("section", { class: "sheet-rules" }, el("h2", {}, say("normal.heading")), el("p", {}, say("normal.tired")),
          el("p", {}, say("normal.breathe"))),
        el("section", { class: "sheet-rules" }, el("h2", {}, say("pain.heading")), ...painBlocks()),
      ];
    }

    function diary() {
      const days = say.items("diary.days");
      const empty = () => days.map(() => el("td"));
      const tables = [];
      for (let week = 1; week <= options.weeks; week += 1) {
        const rows = printed.map((item, i) =>
          el("tr", {}, el("th", { scope: "row" }, `${i + 1}. `, el("span", tongue(item.part.own_language), item.record.title),
            item.record.oneSided ? `, ${say("side." + item.side)}` : null), ...empty()));
        tables.push(el("table", {}, el("caption", {}, say("diary.week", { n: week })),
          el("thead", {}, el("tr", {}, el("th", { scope: "col" }, say("diary.what")),
            ...days.map((/** @type {string} */ day) => el("th", { scope: "col" }, day)))),
          el("tbody", {}, ...rows,
            el("tr", {}, el("th", { scope: "row" }, say("diary.pain-during")), ...empty()),
            el("tr", {}, el("th", { scope: "row" }, say("diary.pain-after")), ...empty()))));
      }
      return el("section", { class: "sheet-diary" }, el("h2", {}, say("diary.heading")), ...tables);
    }

    function foot() {
      const overdue = printed
        .filter(({ record }) => !record.reviewed || (record.due && record.due < options.today))
        .map(({ record }) => record.title);
      const changed = printed.filter(({ record }) => record.altered).map(({ record }) => record.title);
      return el("footer", { class: "sheet-foot" }, el("p", {}, frame.reviewed),
        ...printed.map(({ record }) => el("p", {}, record.reviewed
          ? say("footer.exercise-reviewed", { title: record.title, date: record.reviewed })
          : say("footer.exercise-unreviewed", { title: record.title }))),
        changed.length ? el("p", { class: "sheet-overdue" }, say("footer.changed", { titles: changed.join("; ") })) : null,
        overdue.length ? el("p", { class: "sheet-overdue" }, say("footer.overdue", { titles: overdue.join("; ") })) : null,
        el("p", {}, say("footer.caution")));
    }

    const line = () => el("span", { class: "sheet-line" });
    return el("div", { class: "patient-sheet", lang: say.language, "data-paper": options.paper,
      "data-large": options.large },
      el("header", { class: "sheet-head" }, el("p", { class: "sheet-library" }, frame.library),
        el("h1", {}, say("sheet.title")),
        el("p", { class: "sheet-by-hand" }, el("span", {}, say("sheet.name")), line()),
        el("p", { class: "sheet-by-hand" }, el("span", {}, say("sheet.given")), line(),
          el("span", {}, say("sheet.given-by")), line()),
        el("p", { class: "sheet-before" }, say("sheet.before"))),
      boxes(), ...rules(), ...printed.map((item, i) => exercise(item, i + 1)), flare(), diary(), foot());
  };
})();
