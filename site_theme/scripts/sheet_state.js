// @ts-check
"use strict";
/**
 * The exercises chosen for a sheet, as the address carries them:
 * `sheet=heel-raise~left~sets:2,reps:8-10` for each, in order. An address is checked like any
 * other input: what cannot be read is kept beside, to be shown and lifted, and is never a dose.
 *
 * @typedef {{id: string, side: string, dose: Object<string, any> | null, unread: string[]}} Chosen
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const SIDES = ["left", "right", "both"];
  const MOST = 30; // exercises on one sheet

  /** @param {string} item @returns {Chosen} */
  function read(item) {
    const [id, side, dose, ...more] = item.split("~");
    const unread = more.filter(Boolean);
    if (side && !SIDES.includes(side)) unread.push(side);
    /** @type {Object<string, any> | null} */
    let edited = null;
    for (const part of (dose || "").split(",").filter(Boolean)) {
      const [key, text] = part.split(":");
      const { value, error } = rungbook.doseInput.keys.includes(key) ? rungbook.doseInput.parse(key, text || "") : { value: null, error: "unknown" };
      if (error || text === undefined) {
        unread.push(part);
        continue;
      }
      edited = edited || {};
      edited[key] = value === undefined ? null : value;
    }
    return { id, side: SIDES.includes(side) ? side : "", dose: edited, unread };
  }

  /** @param {Chosen} chosen */
  function write(chosen) {
    const dose = Object.entries(chosen.dose || {}).map(([key, value]) => `${key}:${rungbook.doseInput.written(value)}`);
    const beside = chosen.unread.map((part) => part.replace(/[~,]/g, " "));
    return [chosen.id, chosen.side, [...dose, ...beside].join(",")].join("~").replace(/~+$/, "");
  }

  /** @returns {Map<string, string>} by exercise and how many of it came before */
  function ownLines() {
    return new Map(rungbook.state.all("line").map((/** @type {string} */ one) => {
      const [id, number, ...words] = one.split(" ");
      return [`${id} ${number}`, words.join(" ")];
    }));
  }

  const given = () => rungbook.state.all("sheet").filter(Boolean);

  rungbook.sheetState = {
    /** @returns {Chosen[]} */
    chosen: () => given().slice(0, MOST).map(read),
    /** How many more an address names than a sheet takes. @returns {number} */
    tooMany: () => Math.max(0, given().length - MOST),
    /** @param {Chosen[]} items @param {string} [did] what was done, where it can be undone */
    set: (items, did) => rungbook.state.set({ sheet: items.map(write) }, did),
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
      else items.push(rungbook.sheetState.item(id, side, dose));
      rungbook.sheetState.set(items);
    },
    /** The clinician's own line for an exercise; it stays in this tab. @param {string} key the exercise and how many of it came before @returns {string} */
    ownLine: (key) => ownLines().get(key) || "",
    /** @param {string} key @param {string} words */
    setOwnLine(key, words) {
      const lines = ownLines().set(key, words.trim());
      rungbook.state.set({ line: [...lines].filter(([, text]) => text).map(([of, text]) => `${of} ${text}`) });
    },
    /** @param {string} id @param {string} [side] @param {Object<string, any> | null} [dose] @returns {Chosen} */
    item: (id, side, dose) => ({ id, side: side || "", dose: dose || null, unread: [] }),
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
