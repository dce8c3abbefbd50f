// @ts-check
"use strict";
/**
 * The exercises chosen for a sheet, as the address carries them:
 * `sheet=heel-raise~left~sets:2,reps:8-10` for each, in order.
 *
 * @typedef {{id: string, side: string, dose: Object<string, any> | null}} Chosen
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const SIDES = ["left", "right", "both"];
  const PAIRS = ["reps", "effort"];
  /** Bounds of the schema: [least, most, whole numbers only]. */
  /** @type {Object<string, any>} */
  const BOUNDS = {
    sets: [1, 100, true],
    reps: [1, 9999, true],
    hold: [0, 86400, false],
    duration: [0, 86400, false],
    up: [0, 86400, false],
    pause: [0, 86400, false],
    down: [0, 86400, false],
    rest: [0, 86400, false],
    sessions: [0.01, 350, false],
    effort: [0, 10, false],
  };

  /**
   * A value of a dose as typed: `12`, `8-12`, `2.5`; a comma may stand for the point.
   * @param {string} key @param {string} text
   * @returns {{value?: any, error?: string}} no value and no error where nothing is written
   */
  function parseDose(key, text) {
    const [least, most, whole] = BOUNDS[key];
    const trimmed = text.trim().replace(/,/g, ".").replace(/[–—]/g, "-");
    if (!trimmed) return {};
    const pattern = PAIRS.includes(key) ? /^(\d+(?:\.\d+)?)(?:\s*-\s*(\d+(?:\.\d+)?))?$/ : /^(\d+(?:\.\d+)?)$/;
    const match = pattern.exec(trimmed);
    const example = PAIRS.includes(key) ? "a number such as 8, or 8-12" : "a number";
    if (!match) return { error: `“${text.trim()}” is not ${example}.` };
    const low = Number(match[1]);
    const high = match[2] === undefined ? low : Number(match[2]);
    for (const number of [low, high]) {
      if (number < least || number > most) return { error: `From ${least} to ${most}.` };
      if (whole && !Number.isInteger(number)) return { error: "A whole number." };
    }
    if (low > high) return { error: "The smaller number first." };
    return { value: PAIRS.includes(key) ? [low, high] : low };
  }

  /** @param {any} value */
  function doseText(value) {
    if (value === undefined || value === null) return "";
    if (!Array.isArray(value)) return String(value);
    return value[0] === value[1] ? String(value[0]) : value.join("-");
  }

  /** @param {string} item @returns {Chosen} */
  function read(item) {
    const [id, side, dose] = item.split("~");
    /** @type {Object<string, any> | null} */
    let edited = null;
    for (const part of (dose || "").split(",")) {
      const [key, text] = part.split(":");
      if (!Object.hasOwn(BOUNDS, key)) continue;
      const { value, error } = parseDose(key, text || "");
      if (error) continue; // the library's own number stands
      edited = edited || {};
      edited[key] = value === undefined ? null : value;
    }
    return { id, side: SIDES.includes(side) ? side : "", dose: edited };
  }

  /** @param {Chosen} chosen */
  function write(chosen) {
    const dose = Object.entries(chosen.dose || {})
      .map(([key, value]) => `${key}:${doseText(value)}`)
      .join(",");
    return [chosen.id, chosen.side, dose].join("~").replace(/~+$/, "");
  }

  rungbook.sheetState = {
    BOUNDS,
    parseDose,
    doseText,
    /** @returns {Chosen[]} */
    chosen: () => rungbook.state.all("sheet").filter(Boolean).map(read),
    /** @param {Chosen[]} items */
    set: (items) => rungbook.state.set({ sheet: items.map(write) }),
    /**
     * An exercise onto the sheet, with less of it where that was pressed.
     * @param {string} id @param {string} side
     */
    add(id, side) {
      const items = rungbook.sheetState.chosen();
      const less = document.querySelector(`[data-less="${CSS.escape(id)}"] [aria-pressed="true"]`);
      const dose = less ? read(`${id}~${side}~${less.getAttribute("data-dose") || ""}`).dose : null;
      const known = items.find((/** @type {Chosen} */ item) => item.id === id && (item.side === side || !item.side));
      if (known) Object.assign(known, { side }, less ? { dose } : {});
      else items.push({ id, side, dose });
      rungbook.sheetState.set(items);
    },
    /**
     * The exercise's own dose with what was edited; an emptied value is left out.
     * @param {Object<string, any> | null} own @param {Object<string, any> | null} edited
     */
    dose(own, edited) {
      if (!edited) return own;
      const merged = Object.assign({}, own || {}, edited);
      for (const key of Object.keys(merged)) if (merged[key] === null) delete merged[key];
      return Object.keys(merged).length ? merged : null;
    },
  };

  /** Shows how many exercises are on the sheet, in every link to it. */
  function count() {
    const many = rungbook.state.all("sheet").filter(Boolean).length;
    for (const link of document.querySelectorAll('a[href*="sheet.html"]')) {
      /** @type {any} */
      let mark = link.querySelector(".sheet-count");
      if (!many) {
        if (mark) mark.remove();
        continue;
      }
      if (!mark) {
        mark = rungbook.element("span", { class: "sheet-count" });
        link.append(" ", mark);
      }
      mark.textContent = `(${many})`;
    }
  }

  /** Buttons that add the page's exercise. @param {HTMLElement} place */
  function offer(place) {
    const id = place.dataset.sheetAdd || "";
    const oneSided = place.dataset.oneSided !== undefined;
    const status = rungbook.element("span", { role: "status", class: "tool-status" });
    /** @param {string} side @param {string} label */
    const button = (side, label) => {
      const made = rungbook.element("button", { type: "button", class: "quiet-act" }, label);
      made.addEventListener("click", () => {
        rungbook.sheetState.add(id, side);
        const many = rungbook.sheetState.chosen().length;
        rungbook.fill(
          status,
          `On the sheet${side ? ", " + side : ""}. `,
          rungbook.element("a", { href: rungbook.root() + "sheet.html" }, `Open the sheet (${many})`),
        );
      });
      return made;
    };
    const buttons = oneSided
      ? [rungbook.element("span", { class: "sheet-add-label" }, "Add to sheet:"), button("left", "Left"),
         button("right", "Right"), button("both", "Both")]
      : [button("", "Add to sheet")];
    place.append(...buttons, status);
    place.hidden = false;
  }

  document.addEventListener("DOMContentLoaded", () => {
    document.querySelectorAll("[data-sheet-add]").forEach((place) => offer(/** @type {HTMLElement} */ (place)));
    count();
    rungbook.state.onChange(count);
  });
})();
