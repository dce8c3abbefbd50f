// @ts-check
"use strict";
/**
 * The sheet builder: exercises, sides, doses and print options, all kept in the address.
 * The sheet appears only when every one-sided exercise has its side.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const FIELDS = [
    ["sets", "Sets"], ["reps", "Repetitions"], ["hold", "Hold, s"], ["duration", "Duration, s"],
    ["up", "Up, s"], ["pause", "Pause, s"], ["down", "Down, s"], ["rest", "Rest, s"],
    ["sessions", "Sessions a week"], ["effort", "Effort of 10"],
  ];
  const SIDES = [["left", "Left"], ["right", "Right"], ["both", "Both"]];

  /** @param {string} id */
  const byId = (id) => /** @type {any} */ (document.getElementById(id));

  function start() {
    const form = byId("sheet-form");
    if (!form) return;
    form.hidden = false;
    const place = byId("sheet-chosen");
    const output = byId("sheet-output");
    const status = byId("sheet-status");
    const controls = { language: byId("sheet-language"), paper: byId("sheet-paper"), weeks: byId("sheet-weeks") };
    const large = byId("sheet-large");
    /** @type {Map<string, any>} */
    const records = new Map();
    let turn = 0;

    /** @param {string} id @returns {Promise<any>} the record, or null where there is none */
    async function record(id) {
      if (!records.has(id)) {
        records.set(id, await rungbook.load("sheet/" + id).catch(() => null));
      }
      return records.get(id);
    }

    /** @param {(items: any[]) => void} change */
    function edit(change) {
      const items = rungbook.sheetState.chosen();
      change(items);
      rungbook.sheetState.set(items);
    }

    /** @param {any} known @param {any} item @param {number} at */
    function sideField(known, item, at) {
      const el = rungbook.element;
      const inputs = SIDES.map(([side, label]) => {
        const input = el("input", { type: "radio", name: `side-${at}`, id: `side-${at}-${side}`,
          checked: item.side === side });
        input.addEventListener("change", () => edit((items) => (items[at].side = side)));
        return el("span", { class: "field-check" }, input, el("label", { for: input.id }, label));
      });
      return el("fieldset", { class: "side-choice" }, el("legend", {}, "Which side?"), ...inputs,
        item.side ? null : el("p", { class: "field-error" }, "Needed: choose left, right or both."));
    }

    /** @param {any} known @param {any} item @param {number} at */
    function doseFields(known, item, at) {
      const el = rungbook.element;
      const dose = rungbook.sheetState.dose(known.dose, item.dose) || {};
      const fields = FIELDS.map(([key, label]) => {
        const id = `dose-${at}-${key}`;
        const input = el("input", { id, type: "text", inputmode: "decimal", size: 6, "aria-describedby": id + "-error" });
        input.value = rungbook.sheetState.doseText(dose[key]);
        const error = el("p", { class: "field-error", id: id + "-error" });
        input.addEventListener("change", () => {
          const { value, error: wrong } = rungbook.sheetState.parseDose(key, input.value);
          error.textContent = wrong || "";
          input.setAttribute("aria-invalid", String(Boolean(wrong)));
          if (wrong) return; // the last good number stays on the sheet
          edit((items) => {
            const own = known.dose && known.dose[key];
            const same = JSON.stringify(value) === JSON.stringify(own === null ? undefined : own);
            const edited = Object.assign({}, items[at].dose || {});
            if (same) delete edited[key];
            else edited[key] = value === undefined ? null : value;
            items[at].dose = Object.keys(edited).length ? edited : null;
          });
        });
        return el("div", { class: "field dose-field" }, el("label", { for: id }, label), input, error);
      });
      return el("details", { class: "dose-edit", "data-key": `dose-${at}` }, el("summary", {}, "Edit the dose"),
        el("div", { class: "dose-fields" }, ...fields));
    }

    /** @param {any} known @param {any} item @param {number} at @param {number} many */
    function card(known, item, at, many) {
      const el = rungbook.element;
      const title = known ? known.title : item.id;
      /** @param {string} label @param {string} name @param {() => void} act @param {boolean} [off] */
      const button = (label, name, act, off) => {
        const made = el("button", { type: "button", class: "quiet-act", "aria-label": `${label}: ${title}`,
          disabled: off, "data-key": `${name}-${at}` }, label);
        made.addEventListener("click", act);
        return made;
      };
      const move = (/** @type {number} */ by) => () => edit((items) => {
        const [taken] = items.splice(at, 1);
        items.splice(at + by, 0, taken);
      });
      const trouble = !known
        ? `No exercise is called “${item.id}”: take it off.`
        : known.refused
          ? `It cannot go to a patient: ${known.refused}. Take it off, or mend that first.`
          : null;
      return el("div", { class: "chosen" }, el("h2", {}, `${at + 1}. ${title}`),
        trouble ? el("p", { class: "field-error" }, trouble) : null,
        known && !known.refused && known.oneSided ? sideField(known, item, at) : null,
        known && !known.refused ? doseFields(known, item, at) : null,
        el("p", { class: "chosen-actions" },
          button("Earlier", "up", move(-1), at === 0), " ", button("Later", "down", move(1), at === many - 1), " ",
          button("Take off", "off", () => edit((items) => items.splice(at, 1)))));
    }

    /** Draws again; keeps the focus and the open parts. */
    async function show() {
      const mine = (turn += 1);
      const items = rungbook.sheetState.chosen();
      const language = rungbook.state.get("language") || controls.language.value;
      const known = await Promise.all(items.map((/** @type {any} */ item) => record(item.id)));
      let words;
      let frame;
      try {
        [words, frame] = await Promise.all([rungbook.load("words/" + language), rungbook.load("frame/" + language)]);
      } catch {
        status.textContent = `There is no sheet in “${language}”. Choose a language from the list.`;
        return;
      }
      if (mine !== turn) return;
      for (const [name, control] of Object.entries(controls)) {
        const value = rungbook.state.get(name);
        if (value && [...control.options].some((option) => option.value === value)) control.value = value;
      }
      large.checked = rungbook.state.get("large") === "1";
      drawCards(items, known);
      drawSheet(items, known, rungbook.messages(words), frame);
    }

    /** @param {any[]} items @param {any[]} known */
    function drawCards(items, known) {
      const focused = document.activeElement && (document.activeElement.id || document.activeElement.getAttribute("data-key"));
      const open = new Set([...place.querySelectorAll("details[open]")].map((d) => d.getAttribute("data-key")));
      const errors = [...place.querySelectorAll("input[aria-invalid=true]")].map((input) => [input.id, input.value]);
      rungbook.fill(place, ...items.map((item, at) => card(known[at], item, at, items.length)));
      place.querySelectorAll("details").forEach((/** @type {HTMLDetailsElement} */ d) => (d.open = open.has(d.getAttribute("data-key"))));
      for (const [id, value] of errors) {
        const input = byId(id);
        if (!input) continue;
        input.value = value;
        input.dispatchEvent(new Event("change"));
      }
      const again = focused && (byId(focused) || place.querySelector(`[data-key="${CSS.escape(focused)}"]`));
      if (again) again.focus();
    }

    /** @param {any[]} items @param {any[]} known @param {any} say @param {any} frame */
    function drawSheet(items, known, say, frame) {
      const unready = items.filter((item, at) => !known[at] || known[at].refused || (known[at].oneSided && !item.side));
      const printable = items.length > 0 && unready.length === 0;
      byId("sheet-print").disabled = !printable;
      byId("sheet-notes").disabled = !printable;
      if (!printable) {
        rungbook.fill(output);
        status.textContent = items.length
          ? `No sheet yet: ${unready.length} of ${items.length} need${unready.length === 1 ? "s" : ""} a decision above.`
          : "No exercise yet: add one above, or with “Add to sheet” on its page.";
        return;
      }
      status.textContent = "";
      const printed = items.map((item, at) => ({
        record: known[at],
        part: known[at].parts.find((/** @type {any} */ part) => part[0] === say.language)[1],
        side: known[at].oneSided ? item.side : "",
        dose: rungbook.sheetState.dose(known[at].dose, item.dose),
      }));
      rungbook.fill(output, rungbook.patientSheet(say, frame, printed, {
        paper: controls.paper.value, large: large.checked, weeks: Number(controls.weeks.value), today: rungbook.today(),
      }));
    }

    rungbook.picker(byId("sheet-add"), (/** @type {string | null} */ id) => {
      if (id) edit((items) => items.push({ id, side: "", dose: null }));
      if (id) byId("sheet-add").value = "";
    });
    for (const [name, control] of Object.entries(controls)) {
      control.addEventListener("change", () => rungbook.state.set({ [name]: control.value }));
    }
    large.addEventListener("change", () => rungbook.state.set({ large: large.checked ? "1" : null }));
    byId("sheet-print").addEventListener("click", () => window.print());
    byId("sheet-notes").addEventListener("click", async () => {
      const items = rungbook.sheetState.chosen();
      const lines = await rungbook.prescriptionLines(items);
      await rungbook.copy(lines.join("\n"), status, items.length === 1 ? "The line is copied." : `${items.length} lines are copied.`);
    });
    rungbook.state.onChange(() => void show());
    void show();
  }

  document.addEventListener("DOMContentLoaded", start);
})();
