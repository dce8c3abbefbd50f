// @ts-check
"use strict";
/**
 * One exercise of the sheet while it is being put together. A card is built once and brought up
 * to date in place: the field in use is never replaced, nor written over.
 *
 * @typedef {Object} Card
 * @property {HTMLElement} node
 * @property {(item: any, at: number, many: number) => void} update
 * @property {(item: any) => boolean} ready whether the exercise can be printed as it is
 *
 * @typedef {(change: (items: any[], at: number) => void, did: string) => void} Edit a change that can be undone
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const FIELDS = [
    ["sets", "Sets"], ["reps", "Repetitions"], ["hold", "Hold, s"], ["duration", "Duration, s"],
    ["up", "Up, s"], ["pause", "Pause, s"], ["down", "Down, s"], ["rest", "Rest, s"],
    ["sessions", "Sessions a week"], ["effort", "Effort of 10"],
  ];
  const HEIGHTS = new Map([["seat", "Seat height, cm"], ["step", "Step height, cm"], ["hands", "Height of the hands, cm"]]);
  /** @type {Map<number, string>} */
  const WAYS = new Map([[75, "three quarters"], [66, "two thirds"], [50, "half"], [33, "a third"], [25, "a quarter"]]);
  const LONGEST_LINE = 160;
  const SIDES = [["left", "Left"], ["right", "Right"], ["both", "Both"]];
  let made = 0;

  /** What of an address cannot be used for this exercise. @param {any} known @param {any} item @returns {string[]} */
  function strange(known, item) {
    const side = !known.oneSided && (item.side === "left" || item.side === "right") ? [item.side] : [];
    const foreign = rungbook.doseInput.foreign(known, item.dose).map((/** @type {string} */ key) => `${key}:${rungbook.doseInput.written(item.dose[key])}`);
    return [...side, ...foreign, ...item.unread];
  }

  /** The fields of an exercise's dose and set-up. @param {any} known @returns {string[][]} */
  function fieldsOf(known) {
    const own = known.dose || {};
    return [...FIELDS,
      ...(own.weight ? [["weight", known.setUp.pieces > 1 ? "Weight on each side, kg" : "Weight, kg"]] : []),
      ...(own.height ? [["height", HEIGHTS.get(known.setUp.heightOf) || "Height, cm"]] : []),
      ...(known.setUp.arc ? [["arc", "How far"]] : [])];
  }

  /** Questions that nobody has answered yet. @param {any} known @param {any} item */
  function open(known, item) {
    const sure = new Set(rungbook.state.all("sure"));
    const dose = rungbook.doseInput.merged(known.dose, item.dose) || {};
    return rungbook.doseInput.questions(dose, known.dose).filter((/** @type {any} */ one) => !sure.has(answerTo(item, one)));
  }

  /** @param {any} item @param {{key: string, value: any}} question */
  const answerTo = (item, { key, value }) => `${item.id}~${key}:${rungbook.doseInput.written(value)}`;

  /**
   * @param {any} known the exercise's record, null where there is none @param {any} first the item
   * @param {string} key of the card: the exercise and how many of it came before
   * @param {(change: (items: any[], at: number) => void, card: Card, did: string) => void} change
   * @returns {Card}
   */
  rungbook.sheetCard = function (known, first, key, change) {
    const el = rungbook.element;
    const number = (made += 1);
    const title = known ? known.title : first.id;
    const usable = known && !known.refused;
    const heading = el("h2", {});
    const atHome = el("p", { class: "chosen-note", hidden: true }, "Somebody carries a limb here: it is left off a sheet for home.");
    const trouble = el("div", { class: "not-read", hidden: true });
    const asked = el("div", { class: "dose-questions", hidden: true });
    const edited = el("p", { class: "dose-edited", hidden: true }, "Another dose than the reviewed one. ",
      button("Back to the reviewed dose", null, () => act((items, at) => (items[at].dose = null), "the reviewed dose")));
    const fields = usable ? fieldsOf(known).map(([key, label]) => field(key, label)) : [];
    const summary = el("summary", {}, "Edit the dose");
    const fold = el("details", { class: "dose-edit" }, summary, el("div", { class: "dose-fields" }, ...fields.map((one) => one.place)));
    const sides = usable && known.oneSided ? sideChoice() : null;
    const earlier = button("Earlier", title, () => move(-1));
    const later = button("Later", title, () => move(1));
    const off = button("Take off", title, () => act((items, at) => items.splice(at, 1), "taken off"));
    const node = el("div", { class: "chosen" }, heading, ...blocked(), atHome, trouble, sides ? sides.place : null,
      ...(usable ? [asked, edited, fold, ownLine()] : []), el("p", { class: "chosen-actions" }, earlier, " ", later, " ", off));
    let shown = "";

    /** @param {string} label @param {string | null} of what it is about, for who does not see where it stands @param {() => void} go */
    function button(label, of, go) {
      const one = el("button", { type: "button", class: "quiet-act", "aria-label": of ? `${label}: ${of}` : null }, label);
      one.addEventListener("click", go);
      return one;
    }

    /** @param {(items: any[], at: number) => void} how @param {string} did */
    const act = (how, did) => change(how, card, `${title}: ${did}`);

    /** @param {number} by */
    const move = (by) => act((items, at) => items.splice(at + by, 0, ...items.splice(at, 1)), by < 0 ? "earlier" : "later");

    function blocked() {
      if (!known) return [el("p", { class: "field-error" }, `No exercise is called “${first.id}”: take it off.`)];
      if (!known.refused) return [];
      return [el("p", { class: "field-error" },
        `A draft (${known.refused}) that nobody has reviewed: it cannot go to a patient. Take it off, or review it first.`)];
    }

    function sideChoice() {
      const inputs = SIDES.map(([side, label]) => {
        const input = el("input", { type: "radio", name: `side-${number}`, id: `side-${number}-${side}`, value: side });
        input.addEventListener("change", () => act((items, at) => (items[at].side = side), `side ${side}`));
        return /** @type {any} */ ({ input, place: el("span", { class: "field-check" }, input, el("label", { for: input.id }, label)) });
      });
      const needed = el("p", { class: "field-error" }, "Needed: choose left, right or both.");
      return { inputs: inputs.map((one) => one.input), needed,
        place: el("fieldset", { class: "side-choice" }, el("legend", {}, "Which side?"), ...inputs.map((one) => one.place), needed) };
    }

    /** @param {string} key @param {string} label */
    function field(key, label) {
      const id = `dose-${number}-${key}`;
      /** @type {any} */
      const input = key === "arc" ? ways(id)
        : el("input", { id, type: "text", inputmode: "decimal", size: 6, autocomplete: "off", "aria-describedby": id + "-error" });
      const error = el("p", { class: "field-error", id: id + "-error" });
      input.addEventListener("change", async () => {
        const { value, error: wrong } = rungbook.doseInput.parse(key, input.value);
        input.setAttribute("aria-invalid", String(Boolean(wrong)));
        // What is wrong stays to be mended, and the last good number on the sheet.
        if (!wrong) act((items, at) => setDose(items[at], key, value), `${label} ${rungbook.doseInput.written(value) || "none"}`);
        await rungbook.released();
        error.textContent = wrong || "";
      });
      return { key, input, error, place: el("div", { class: "field dose-field" }, el("label", { for: id }, label), input, error) };
    }

    /** @param {string} id */
    function ways(id) {
      const [from, to] = known.setUp.arc;
      return el("select", { id, "aria-describedby": id + "-error" }, el("option", { value: "" }, "the whole way"),
        ...[...WAYS].map(([share, words]) => el("option", { value: share }, `${words}, to ${Math.round(from + ((to - from) * share) / 100)}°`)));
    }

    function ownLine() {
      const id = `line-${number}`;
      /** @type {any} */
      const input = el("input", { id, type: "text", maxlength: LONGEST_LINE, size: 40, autocomplete: "off" });
      input.value = rungbook.sheetState.ownLine(key);
      input.addEventListener("change", () => rungbook.sheetState.setOwnLine(key, input.value));
      return el("div", { class: "field own-line" }, el("label", { for: id }, "A line of your own (stays in this tab)"), input);
    }

    /** @param {any} item @param {string} key @param {any} value */
    function setDose(item, key, value) {
      const own = known.dose && known.dose[key];
      const dose = Object.assign({}, item.dose || {});
      if (rungbook.doseInput.same(value, own)) delete dose[key];
      else dose[key] = value === undefined ? null : value;
      item.dose = Object.keys(dose).length ? dose : null;
    }

    /** @param {any} item */
    function drawTrouble(item) {
      const parts = usable ? strange(known, item) : [];
      trouble.hidden = parts.length === 0;
      if (!parts.length) return rungbook.fill(trouble);
      rungbook.fill(trouble,
        ...parts.map((part) => el("p", { class: "field-error" }, `The address says “${part}”, which cannot be read for this exercise.`)),
        el("p", {}, button("Leave that out", null, () => {
          act((items, at) => {
            for (const one of rungbook.doseInput.foreign(known, items[at].dose)) delete items[at].dose[one];
            Object.assign(items[at], { unread: [], side: known.oneSided ? items[at].side : "" });
          }, "left out what could not be read");
          summary.focus();
        })));
    }

    /** @param {any} item */
    function drawQuestions(item) {
      const questions = usable ? open(known, item) : [];
      const held = asked.contains(document.activeElement);
      asked.hidden = questions.length === 0;
      rungbook.fill(asked, ...questions.map((/** @type {any} */ one) => el("p", { class: "dose-question" }, one.words, " ",
        button("Yes", null, () => rungbook.state.set({ sure: [...rungbook.state.all("sure"), answerTo(item, one)] })), " ",
        button(noWords(one.key), null, () => act((items, at) => {
          if (one.key) setDose(items[at], one.key, known.dose ? known.dose[one.key] : undefined);
          else items[at].dose = null;
        }, "the reviewed dose")))));
      if (held) (asked.querySelector("button") || summary).focus();
    }

    /** @param {string} key */
    const noWords = (key) => key ? `No: ${(known.dose && rungbook.doseInput.written(known.dose[key])) || "leave it out"}` : "No: the reviewed dose";

    /** @type {Card} */
    const card = {
      node,
      update(item, at, many) {
        heading.textContent = `${at + 1}. ${title}`;
        earlier.disabled = at === 0;
        later.disabled = at === many - 1;
        atHome.hidden = !usable || !known.therapist || rungbook.state.get("place") === "clinic";
        const now = JSON.stringify([item, rungbook.state.all("sure")]);
        if (now === shown) return;
        shown = now;
        const dose = usable ? rungbook.doseInput.merged(known.dose, item.dose) || {} : {};
        for (const { key, input, error } of fields) {
          const words = rungbook.doseInput.written(dose[key]);
          if (document.activeElement === input || input.value === words) continue;
          if (input.getAttribute("aria-invalid") === "true" && input.dataset.good === words) continue;
          input.value = words;
          input.setAttribute("aria-invalid", "false");
          error.textContent = "";
        }
        for (const { key, input } of fields) input.dataset.good = rungbook.doseInput.written(dose[key]);
        if (sides) {
          for (const input of sides.inputs) input.checked = input.value === item.side;
          sides.needed.hidden = item.side !== "";
        }
        edited.hidden = !usable || !rungbook.doseInput.differs(known.dose, item.dose);
        drawTrouble(item);
        drawQuestions(item);
      },
      ready: (item) => Boolean(usable && !(known.oneSided && !item.side) && !strange(known, item).length && !open(known, item).length),
    };
    return card;
  };
})();
