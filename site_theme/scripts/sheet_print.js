// @ts-check
"use strict";
/**
 * The printed sheet as elements, part for part as `documents/sheet_parts.html` writes it.
 *
 * @typedef {Object} Printed
 * @property {any} record of `data/sheet/<id>.js`
 * @property {any} part in the sheet's language
 * @property {string} side left, right, both, or "" where both sides work together
 * @property {Object<string, any> | null} dose with weight, height and arc
 * @property {string} line of the clinician's own
 * @property {boolean} [edited] whether that is another than the exercise's own
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});

  const FEW = 3; // exercises that a rule names

  /** `1–4, 7` of rising numbers. @param {number[]} numbers */
  function runs(numbers) {
    /** @type {number[][]} */
    const parts = [];
    for (const number of numbers) {
      const last = parts[parts.length - 1];
      if (last && number === last[last.length - 1] + 1) last[1] = number;
      else parts.push([number]);
    }
    return parts.map((part) => part.join("–")).join(", ");
  }

  /** @param {any} say @param {any} frame @param {Printed[]} printed @param {{paper: string, large: boolean, weeks: number, today: string, place: string, order: string, forPatient?: boolean}} options */
  rungbook.patientSheet = function (say, frame, printed, options) {
    const el = rungbook.element;
    /** @param {string | null} words */
    const note = (words) => (words ? el("p", { class: "sheet-note" }, words) : null);
    /** @param {string[]} lines */
    const list = (lines) => el("ul", {}, ...lines.map((line) => el("li", {}, line)));
    /** With the weight and the height of the choice. @param {Printed} item @returns {string} */
    const titleOf = (item) => rungbook.retitled(item.part.title, item.record.dose, item.dose, say);

    /** The figure's tree with its few words in the sheet's language. @param {any} node */
    const translated = (node) =>
      typeof node === "string" ? say.phrase(node) : [node[0], node[1], ...node.slice(2).map(translated)];

    /** A figure as one shows it who goes a share of the way: no further. @param {any} node @param {number} share */
    function limited(node, share) {
      const css = (/** @type {any} */ one) => (Array.isArray(one) && one[1] && one[1].class) || "";
      const to = (/** @type {any} */ one) => Number(one[1]["data-to"]);
      const stops = node.filter((/** @type {any} */ one) => css(one) === "fig-part").map(to);
      if (share >= 100 || !stops.length) return node.filter((/** @type {any} */ one) => css(one) !== "fig-part");
      const stop = Math.max(-1, ...stops.filter((/** @type {number} */ one) => one <= share));
      return node.filter((/** @type {any} */ one) => css(one) === "fig-part" ? to(one) === stop : css(one) !== "fig-panel" || to(one) === 0);
    }

    /** @param {Printed} item */
    function figure(item) {
      const side = item.side === "left" ? "left" : "right";
      const found = item.record.figures.find((/** @type {any} */ entry) => entry[0] === side);
      const { photo, qr } = item.record;
      if (!found && !photo && !qr) return null;
      return el("div", { class: "sheet-figure" },
        found ? rungbook.build(rungbook.relabelled(translated(limited(found[1], (item.dose && item.dose.arc) || 100)), item.record.dose, item.dose, say)) : null,
        photo ? el("img", { class: "sheet-photo", src: rungbook.root() + photo[0], alt: photo[1] }) : null,
        qr ? el("div", { class: "sheet-qr" }, rungbook.build(qr), el("p", {}, say("qr.words"))) : null,
        found && item.record.oneSided && item.side === "both" ? el("p", { class: "sheet-caption" }, say("figure.mirrored")) : null);
    }

    /** Texts for the patient. @param {any[]} texts @param {Map<string, string>} [numbers] */
    const wordsOf = (texts, numbers) => texts.flatMap((text) => [
      note(text.note),
      el("div", {}, ...text.nodes.map((/** @type {any} */ node) => rungbook.build(numbers ? rungbook.filledNode(node, numbers) : node))),
    ]);

    /** The side beside a title. @param {Printed} item */
    const sideOf = (item) => (item.record.oneSided ? say("side." + item.side) : "");

    /** The easier exercise's dose, its weight never above the one that is set. @param {any} easier @param {any} record @param {any} dose */
    function atMost(easier, record, dose) {
      const theirs = easier.dose;
      const comparable = theirs && theirs.weight && dose && dose.weight && easier.setUp.pieces === record.setUp.pieces;
      return comparable ? { ...theirs, weight: Math.min(theirs.weight, dose.weight) } : theirs;
    }

    /** What to do on a bad day: the easier exercise, described. @param {Printed} item */
    function less({ part, record, dose }) {
      if (!part.do_less.length && !part.easier) return null;
      const lighter = part.easier && atMost(part.easier, record, dose);
      return el("div", { class: "sheet-less" },
        part.easier && record.small ? el("div", { class: "sheet-small" }, rungbook.build(record.small)) : null,
        el("div", {},
          part.do_less.length ? el("p", {}, el("strong", {}, say("back.heading")), ` ${part.do_less.join("; ")}.`) : null,
          part.easier ? el("div", { class: "sheet-instead" },
            el("p", {}, el("strong", {}, `${say("back.easier")} ${rungbook.retitled(part.easier.title, part.easier.dose, lighter, say)}.`)),
            ...wordsOf(part.easier.words, rungbook.patientNumbers(lighter, part.easier.setUp, say))) : null));
    }

    /** The amount in figures, with weight and height. @param {Printed} item @returns {string} */
    const numeralsOf = ({ dose, record }) =>
      [rungbook.doseNumerals(dose, say), rungbook.setUpNumerals(dose, record.setUp, say)].filter(Boolean).join(" · ");

    /** @param {Printed} item @param {number} number */
    function exercise(item, number) {
      const { part, record } = item;
      const numerals = numeralsOf(item);
      const arc = rungbook.arcWords(item.dose, record.setUp, say);
      return el("article", { class: "sheet-exercise" },
        el("div", { class: "sheet-top" },
          el("h2", {}, el("span", { class: "sheet-number" }, String(number)), " ",
            titleOf(item),
            sideOf(item) ? " " : null, sideOf(item) ? el("span", { class: "sheet-side" }, sideOf(item)) : null),
          figure(item),
          el("div", { class: "sheet-dose" },
            numerals ? el("p", { class: "sheet-numerals" }, numerals) : null,
            el("p", {}, rungbook.doseLines(item.dose, say, record.setUp).join(" ")))),
        el("div", { class: "sheet-words" },
          ...wordsOf(part.words, rungbook.patientNumbers(item.dose, record.setUp, say)),
          arc ? el("p", { class: "sheet-own" }, arc) : null,
          item.line ? el("p", { class: "sheet-own" }, item.line) : null),
        options.forPatient ? el("p", { class: "screen-only" }, el("a", { href: rungbook.root() + part.page }, say("see.movement"))) : null,
        less(item));
    }

    function boxes() {
      return el("div", { class: "sheet-boxes" },
        el("section", { class: "sheet-box sheet-stop" }, el("h2", {}, say("stop.heading")), list(frame.stop),
          el("p", {}, frame.stop_call, frame.contact ? ` ${frame.contact}` : null)),
        el("section", { class: "sheet-box sheet-urgent" }, el("h2", {}, say("urgent.heading")),
          frame.urgent.length ? list(frame.urgent) : null,
          frame.urgent_call ? el("p", {}, frame.urgent_call) : null,
          frame.urgent_own ? el("p", {}, frame.urgent_own) : null));
    }

    /** Each rule once, with the exercises it is for where there are several. */
    function painBlocks() {
      /** @type {Map<string, {words: any, titles: string[], numbers: number[]}>} */
      const blocks = new Map();
      for (const [i, item] of printed.entries()) {
        const key = item.part.pain;
        const known = blocks.get(key) || { words: key, titles: [], numbers: [] };
        known.numbers.push(i + 1);
        known.titles.push(titleOf(item));
        blocks.set(key, known);
      }
      return [...blocks.values()].flatMap(({ words, titles, numbers }) => [
        blocks.size > 1 ? el("p", { class: "sheet-for" }, titles.length <= FEW ? say("pain.for", { title: titles.join("; ") }) : say("pain.for-numbers", { numbers: runs(numbers) })) : null,
        el("p", {}, words),
      ]);
    }

    function rules() {
      return [
        el("section", { class: "sheet-rules" }, el("h2", {}, say("pain.heading")), ...painBlocks(),
          el("p", {}, `${say("pain.scale")} ${say("normal.tired")} ${say("normal.breathe")}`)),
        el("section", { class: "sheet-rules" }, el("h2", {}, say("flare.heading")),
          el("ul", {}, ...frame.flare.map((/** @type {any} */ row) =>
            el("li", {}, `${row.lasts}: ${row.do}`))),
          el("p", {}, el("strong", {}, say("flare.two-days")))),
      ];
    }

    /** A row's heading: number, title, side. @param {Printed} item @param {number} index @param {Object<string, any>} attributes */
    const heading = (item, index, attributes) =>
      el("th", attributes, `${index + 1}. ${titleOf(item)}`,
        sideOf(item) ? `, ${sideOf(item)}` : null);

    function week() {
      return el("section", { class: "sheet-rules" }, el("h2", {}, say("week.heading")),
        el("table", { class: "sheet-week" },
          el("thead", {}, el("tr", {}, ...["week.what", "week.how-much", "week.how-often"].map((key) => el("th", { scope: "col" }, say(key))))),
          el("tbody", {}, ...printed.map((item, i) => el("tr", {}, heading(item, i, { scope: "row" }),
            el("td", {}, numeralsOf(item) || rungbook.doseLines(item.dose, say)[0]),
            el("td", {}, rungbook.howOften(item.dose, say)))))));
    }

    function diary() {
      const days = say.items("diary.days");
      const tables = [];
      for (let first = 1; first <= options.weeks; first += 2) {
        const weeks = first < options.weeks ? [first, first + 1] : [first];
        const empty = () => weeks.flatMap(() => days.map(() => el("td")));
        const rows = printed.flatMap((item, i) => ["diary.done", "diary.pain", "diary.effort"].map((key, row) =>
          el("tr", {}, row ? null : heading(item, i, { scope: "rowgroup", rowspan: "3" }), el("th", { scope: "row" }, say(key)), ...empty())));
        tables.push(el("table", {},
          el("colgroup", {}, el("col", { class: "diary-title" }), el("col", { class: "diary-row" }), el("col", { span: 7 * weeks.length })),
          el("thead", {},
            el("tr", {}, el("th", { scope: "col", colspan: "2", rowspan: "2" }, say("diary.what")),
              ...weeks.map((n) => el("th", { scope: "colgroup", colspan: "7" }, say("diary.week", { n })))),
            el("tr", {}, ...weeks.flatMap(() => days.map((/** @type {string} */ day) => el("th", { scope: "col" }, day))))),
          el("tbody", {}, ...rows,
            el("tr", {}, el("th", { scope: "row", colspan: "2" }, say("diary.pain-after")), ...empty()))));
      }
      return el("section", { class: "sheet-diary" }, el("h2", {}, say("diary.heading")), el("p", {}, say("diary.scale")), ...tables);
    }

    /** Titles of the exercises for which something holds. @param {(record: any, item: Printed) => boolean} holds */
    const titlesWhere = (holds) => printed.filter((item) => holds(item.record, item)).map(titleOf).join("; ");

    /** `Reviewed: 1, 3: 2026-05-01.`, by the numbers on the sheet. */
    function reviews() {
      /** @type {Map<string, number[]>} */
      const numbers = new Map();
      printed.forEach(({ record }, i) => numbers.set(record.reviewed || "", [...(numbers.get(record.reviewed || "") || []), i + 1]));
      const never = numbers.get("");
      numbers.delete("");
      const dates = [...numbers].map(([date, of]) => `${of.join(", ")}: ${date}`).join("; ");
      return [dates ? say("footer.reviewed", { dates }) : "", never ? say("footer.unreviewed", { numbers: never.join(", ") }) : ""].filter(Boolean).join(" ");
    }

    function foot() {
      const overdue = titlesWhere((record) => !record.reviewed || Boolean(record.due && record.due < options.today));
      const edited = titlesWhere((_, item) => Boolean(item.edited));
      const changed = titlesWhere((record) => record.altered);
      return el("footer", { class: "sheet-foot" },
        el("p", {}, say("footer.caution")),
        el("p", {}, reviews()),
        edited ? el("p", {}, say("footer.edited", { titles: edited })) : null,
        changed ? el("p", { class: "sheet-overdue" }, say("footer.changed", { titles: changed })) : null,
        overdue ? el("p", { class: "sheet-overdue" }, say("footer.overdue", { titles: overdue })) : null);
    }

    const line = () => el("span", { class: "sheet-line" });
    return el("div", { class: "patient-sheet", lang: say.language, "data-paper": options.paper,
      "data-large": options.large },
      el("header", { class: "sheet-head" }, el("p", { class: "sheet-library" }, frame.library),
        el("h1", {}, say(options.place === "clinic" ? "sheet.title-clinic" : "sheet.title")),
        el("p", { class: "sheet-by-hand" }, el("span", {}, say("sheet.name")), line(),
          el("span", {}, say("sheet.given")), line(), el("span", {}, say("sheet.given-by")), line()),
        el("p", { class: "sheet-before" }, say("sheet.before"))),
      boxes(),
      options.order ? el("p", { class: "sheet-order" }, el("strong", {}, say("order.heading")), ` ${options.order}`) : null,
      ...rules(), week(),
      el("div", { class: "sheet-exercises" }, ...printed.map((item, i) => exercise(item, i + 1))), options.place === "home" ? diary() : null, foot());
  };
})();
