// @ts-check
"use strict";
/**
 * The sheet builder: exercises, sides, doses and print options, all kept in the address; each
 * change is a step that can be undone. The sheet appears only when every exercise is decided.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const MOST_NAMED = 8; // missing words of a message
  const TITLES = new Map([["place", "for"], ["language", "language"], ["paper", "paper"], ["weeks", "weeks of diary"]]);

  /** @param {string} id */
  const byId = (id) => /** @type {any} */ (document.getElementById(id));

  function start() {
    const form = byId("sheet-form");
    if (!form) return;
    const forPatient = rungbook.state.get("view") === "patient";
    byId("sheet-builder").hidden = forPatient;
    const { state, sheetState } = rungbook;
    const place = byId("sheet-chosen");
    const output = byId("sheet-output");
    const status = byId("sheet-status");
    const undo = byId("sheet-undo");
    const redo = byId("sheet-redo");
    const controls = { place: byId("sheet-place"), language: byId("sheet-language"), paper: byId("sheet-paper"), weeks: byId("sheet-weeks") };
    const large = byId("sheet-large");
    /** @type {Map<string, any>} */
    const records = new Map();
    /** By exercise and how many of it came before; kept, so that what was taken off comes back as it was. @type {Map<string, Card>} */
    const cards = new Map();
    /** @type {Card[]} those shown, in order */
    let shown = [];
    let turn = 0;
    let told = false; // whether the status is about the sheet itself
    let notHere = ""; // what a patient is told whose link shows nothing

    /** @param {string} id @returns {Promise<any>} the record, or null where there is none */
    async function record(id) {
      if (!records.has(id)) records.set(id, await rungbook.load("sheet/" + id).catch(() => null));
      return records.get(id);
    }

    /** @param {(items: any[], at: number) => void} how @param {Card} card @param {string} did */
    function change(how, card, did) {
      const items = sheetState.chosen();
      const at = shown.indexOf(card);
      if (at < 0) return;
      how(items, at);
      sheetState.set(items, did);
    }

    /** @param {HTMLSelectElement} control @returns {HTMLOptionElement} */
    const usualOf = (control) => [...control.options].find((option) => option.defaultSelected) || control.options[0];

    /** Names of the cards: each exercise with how many of it came before. @param {any[]} items */
    function keysOf(items) {
      /** @type {Map<string, number>} */
      const seen = new Map();
      return items.map((item) => {
        const number = seen.get(item.id) || 0;
        seen.set(item.id, number + 1);
        return `${item.id} ${number}`;
      });
    }

    /** The card of each item. @param {any[]} items @param {any[]} known */
    function cardsOf(items, known) {
      const keys = keysOf(items);
      return items.map((item, at) => {
        const key = keys[at];
        const card = cards.get(key) || rungbook.sheetCard(known[at], item, key, change);
        cards.set(key, card);
        return card;
      });
    }

    async function show() {
      const mine = (turn += 1);
      const items = sheetState.chosen();
      const language = state.get("language") || usualOf(controls.language).value;
      const known = await Promise.all(items.map((/** @type {any} */ item) => record(item.id)));
      const words = await Promise.all([rungbook.load("words/" + language), rungbook.load("frame/" + language)]).catch(() => null);
      notHere = rungbook.messages(words ? words[0] : await rungbook.load("words/en"))("see.not-here");
      await rungbook.released();
      if (mine !== turn) return;
      for (const [name, control] of Object.entries(controls)) {
        const asked = [...control.options].find((option) => option.value === state.get(name));
        control.value = (asked || usualOf(control)).value;
      }
      large.checked = state.get("large") === "1";
      drawLanguages(known);
      drawCards(items, known);
      drawUndo();
      form.hidden = false; // whole at once
      drawSheet(items, known, words ? rungbook.messages(words[0]) : null, words ? words[1] : null, language);
    }

    /** Only what has to move moves: the focus stays. @param {any[]} items @param {any[]} known */
    function drawCards(items, known) {
      const held = /** @type {HTMLElement | null} */ (place.contains(document.activeElement) ? document.activeElement : null);
      const was = shown.findIndex((card) => card.node.contains(held));
      shown = cardsOf(items, known);
      shown.forEach((card, at) => card.update(items[at], at, items.length));
      const nodes = new Set(shown.map((card) => card.node));
      [...place.children].forEach((node) => nodes.has(node) || node.remove());
      shown.forEach((card, at) => {
        if (place.children[at] !== card.node) place.insertBefore(card.node, place.children[at] || null);
      });
      if (held) keepFocus(held, was);
    }

    /** @param {HTMLElement} held what had the focus @param {number} was in which card */
    function keepFocus(held, was) {
      const able = held.isConnected && !held.matches(":disabled");
      if (able && document.activeElement !== held) held.focus();
      if (able) return;
      const near = shown.find((card) => card.node.contains(held)) || shown[Math.min(was, shown.length - 1)];
      if (!near) byId("sheet-add").focus();
      else {
        const which = held.isConnected ? "button:not(:disabled)" : "button:last-of-type";
        /** @type {HTMLElement | null} */ (near.node.querySelector(`.chosen-actions ${which}`))?.focus();
      }
    }

    function drawUndo() {
      const { step, did, undone } = state.undoable();
      const held = [undo, redo].includes(document.activeElement);
      undo.disabled = step === 0;
      redo.disabled = !undone;
      byId("sheet-undo-what").textContent = did;
      if (held && /** @type {any} */ (document.activeElement).disabled) (undo.disabled ? redo.disabled ? byId("sheet-add") : redo : undo).focus();
    }

    /** What an exercise lacks in a language. @param {any} record @param {string} language @returns {string[]} */
    const missing = (record, language) => ((record.missing || []).find((/** @type {any} */ one) => one[0] === language) || [])[1] || [];

    /** A language that lacks words of this sheet is not to be chosen. @param {any[]} known */
    function drawLanguages(known) {
      for (const option of controls.language.options) {
        const lacks = known.filter((record) => record && missing(record, option.value).length).length;
        option.dataset.name = option.dataset.name || option.text;
        option.disabled = lacks > 0 && !option.selected;
        option.text = lacks ? `${option.dataset.name} (not for ${lacks} of ${known.length})` : option.dataset.name;
      }
    }

    /** @param {string} words why there is no sheet @param {...Node} more */
    function noSheet(words, ...more) {
      byId("sheet-print").disabled = true;
      byId("sheet-notes").disabled = true;
      byId("sheet-link").disabled = true;
      rungbook.fill(output, ...(forPatient ? [rungbook.element("p", { class: "lead" }, notHere)] : []));
      rungbook.fill(status, words, ...more);
      told = true;
    }

    /** @param {any[]} items @param {any[]} known @param {any} say @param {any} frame @param {string} language */
    function drawSheet(items, known, say, frame, language) {
      const more = sheetState.tooMany();
      if (more) {
        const rest = rungbook.element("button", { type: "button", class: "quiet-act" }, "Leave out the rest");
        rest.addEventListener("click", () => {
          sheetState.set(items, `left out ${more} more`);
          byId("sheet-add").focus();
        });
        noSheet(`A sheet takes ${items.length} exercises; the address names ${more} more. `, rest);
        return;
      }
      const unready = items.filter((item, at) => !shown[at].ready(item)).length;
      if (!items.length) return noSheet("No exercise yet: add one above, or with “Add to sheet” on its page.");
      if (unready) return noSheet(`No sheet yet: ${unready} of ${items.length} need${unready === 1 ? "s" : ""} a decision above.`);
      if (!say) return noSheet(`There is no sheet in “${language}”. Choose a language from the list.`);
      byId("sheet-print").disabled = false;
      byId("sheet-notes").disabled = false;
      byId("sheet-link").disabled = false;
      if (told) status.textContent = "";
      told = false; // what was said of a copy stays
      const home = controls.place.value !== "clinic";
      const lacking = [...frame.missing, ...items.flatMap((_, at) => missing(known[at], say.language).map((one) => `${known[at].title}: ${one}`))];
      if (lacking.length) return noSheet(`No sheet in ${controls.language.selectedOptions[0].dataset.name}: these words are missing. ${lacking.slice(0, MOST_NAMED).join("; ")}${lacking.length > MOST_NAMED ? `; and ${lacking.length - MOST_NAMED} more` : ""}.`);
      const keys = keysOf(items);
      const printed = items.map((item, at) => ({
        record: known[at],
        part: (known[at].parts.find((/** @type {any} */ part) => part[0] === say.language) || [])[1],
        side: known[at].oneSided ? item.side : "",
        dose: rungbook.doseInput.merged(known[at].dose, item.dose),
        edited: rungbook.doseInput.differs(known[at].dose, item.dose),
        line: sheetState.ownLine(keys[at]),
      })).filter((one) => !(home && one.record.therapist));
      if (!printed.length) return noSheet("Somebody carries a limb in each of these: they are not done at home alone. Choose “In the clinic”.");
      told = printed.length < items.length;
      if (told) status.textContent = `${printed.length} of ${items.length} are on the sheet: the rest is not done at home alone.`;
      rungbook.fill(output, rungbook.patientSheet(say, frame, printed, {
        paper: controls.paper.value, large: large.checked, weeks: Number(controls.weeks.value), today: rungbook.today(), place: controls.place.value, order: state.get("order") || "", forPatient,
      }));
    }

    rungbook.picker(byId("sheet-add"), async (/** @type {string | null} */ id) => {
      if (!id) return;
      byId("sheet-add").value = "";
      const known = await record(id);
      sheetState.set([...sheetState.chosen(), sheetState.item(id)], `${known ? known.title : id}: added`);
    });
    for (const [name, control] of Object.entries(controls)) {
      control.addEventListener("change", () => state.set({ [name]: control.value }, `${TITLES.get(name)} ${control.value}`));
    }
    large.addEventListener("change", () => state.set({ large: large.checked ? "1" : null }, large.checked ? "large print" : "usual print"));
    const order = byId("sheet-order");
    order.value = state.get("order") || "";
    order.addEventListener("change", () => state.set({ order: order.value.trim() || null }));
    undo.addEventListener("click", () => history.back());
    redo.addEventListener("click", () => history.forward());
    document.addEventListener("keydown", (event) => {
      const inField = event.target instanceof Element && event.target.matches("input[type=text], textarea");
      if (inField || event.altKey || !(event.ctrlKey || event.metaKey)) return; // a field undoes its own letters
      const key = event.key.toLowerCase();
      if (key !== "z" && key !== "y") return;
      event.preventDefault();
      (key === "y" || event.shiftKey ? redo : undo).click();
    });
    byId("sheet-link").addEventListener("click", async () => {
      if (!location.protocol.startsWith("http")) {
        status.textContent = "A link works where the library is on a website; this copy of it lies on a disk.";
        return;
      }
      await rungbook.copy(`${location.href}&view=patient`, status, "The link is copied: it holds the exercises, their sides and doses, and nothing of the patient.");
    });
    byId("sheet-print").addEventListener("click", () => window.print());
    byId("sheet-notes").addEventListener("click", async () => {
      const items = sheetState.chosen();
      const keys = keysOf(items);
      const lines = await rungbook.prescriptionLines(items.map((/** @type {any} */ item, /** @type {number} */ at) => ({ ...item, line: sheetState.ownLine(keys[at]) })));
      await rungbook.copy(lines.join("\n"), status, items.length === 1 ? "The line is copied." : `${items.length} lines are copied.`);
    });
    form.addEventListener("submit", (/** @type {Event} */ event) => event.preventDefault());
    state.onChange(() => void show());
    void show();
  }

  document.addEventListener("DOMContentLoaded", start);
})();
