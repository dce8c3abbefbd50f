// @ts-check
"use strict";
/**
 * Choosing one exercise by the beginnings of its words: a combobox with a list, by keyboard
 * or touch. The field's `data-picker` names it; what is chosen is an exercise's id.
 *
 * @typedef {Object} Picker
 * @property {(id: string | null) => Promise<void>} show shows an exercise as chosen
 * @property {() => string | null} value
 * @property {() => boolean} unnamed whether something stands in the field that names no exercise
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const MOST = 12;
  /** @type {Promise<any> | null} */
  let index = null;

  /** @returns {Promise<any>} */
  function searched() {
    if (!index) index = rungbook.load("search").then(rungbook.search.index);
    return /** @type {Promise<any>} */ (index);
  }

  const isExercise = (/** @type {any} */ entry) => entry.href.startsWith("exercises/");

  /** Exercises only, from the search index. @returns {Promise<any[]>} */
  rungbook.exerciseEntries = async function () {
    return (await searched()).entries.filter(isExercise);
  };

  /** @param {{href: string}} entry */
  function idOf(entry) {
    return decodeURIComponent(entry.href.slice("exercises/".length, -".html".length));
  }

  /**
   * @param {HTMLInputElement} input
   * @param {(id: string | null) => void} chosen null as soon as the text is no longer that of an exercise
   * @returns {Picker}
   */
  rungbook.picker = function (input, chosen) {
    const listId = input.id + "-list";
    const list = rungbook.element("ul", { class: "picker-list", id: listId, role: "listbox", hidden: true,
      "aria-label": "Exercises" });
    const status = rungbook.element("p", { class: "picker-status", role: "status" });
    input.after(list, status);
    for (const [name, value] of Object.entries({ role: "combobox", autocomplete: "off",
      "aria-expanded": "false", "aria-controls": listId, "aria-autocomplete": "list" })) {
      input.setAttribute(name, value);
    }
    let active = -1;
    /** @type {string | null} */
    let value = null;
    /** @type {any[]} */
    let found = [];

    function close() {
      list.hidden = true;
      active = -1;
      input.setAttribute("aria-expanded", "false");
      input.removeAttribute("aria-activedescendant");
    }

    /** @param {number} at */
    function mark(at) {
      active = at;
      [...list.children].forEach((option, i) => option.setAttribute("aria-selected", String(i === at)));
      const option = list.children[at];
      if (option) {
        input.setAttribute("aria-activedescendant", option.id);
        option.scrollIntoView({ block: "nearest" });
      } else {
        input.removeAttribute("aria-activedescendant");
      }
    }

    /** @param {any} entry */
    function choose(entry) {
      value = idOf(entry);
      input.value = entry.title;
      status.textContent = "";
      close();
      chosen(/** @type {string} */ (value));
    }

    async function refresh() {
      const query = input.value;
      if (!query.trim()) {
        close();
        status.textContent = "";
        return;
      }
      let known;
      try {
        known = await searched();
      } catch {
        status.textContent = "The list of exercises is missing: build the site again.";
        return;
      }
      if (query !== input.value) return;
      const answer = rungbook.search.ask(known, query, isExercise);
      found = answer.found;
      const shown = found.slice(0, MOST);
      rungbook.fill(
        list,
        ...shown.map((entry, i) => {
          const option = rungbook.element(
            "li",
            { role: "option", id: `${listId}-${i}`, "aria-selected": "false" },
            ...rungbook.searchResult(entry),
          );
          option.addEventListener("pointerdown", (/** @type {Event} */ event) => event.preventDefault());
          option.addEventListener("click", () => choose(entry));
          return option;
        }),
      );
      list.hidden = shown.length === 0;
      input.setAttribute("aria-expanded", String(shown.length > 0));
      mark(-1);
      status.textContent = rungbook.search.words(answer, `${found.length} found: arrow keys choose, Enter takes.`);
    }

    input.addEventListener("input", () => {
      if (value !== null || !input.value.trim()) {
        value = null;
        chosen(null);
      }
      void refresh();
    });
    input.addEventListener("focus", () => input.select());
    input.addEventListener("blur", close);
    input.addEventListener("keydown", (event) => {
      const count = list.children.length;
      if (event.key === "ArrowDown" && list.hidden) {
        void refresh();
        event.preventDefault();
      } else if (event.key === "ArrowDown" || event.key === "ArrowUp") {
        if (!count) return;
        const next = active + (event.key === "ArrowDown" ? 1 : -1);
        mark((next + count) % count);
        event.preventDefault();
      } else if (event.key === "Enter" && !list.hidden && count) {
        choose(found[Math.max(active, 0)]);
        event.preventDefault();
      } else if (event.key === "Escape") {
        close();
      }
    });

    return {
      value: () => value,
      unnamed: () => value === null && input.value.trim() !== "",
      async show(id) {
        if (!id) {
          // What is being typed stays; what was chosen and taken back elsewhere goes.
          if (value !== null) input.value = "";
          value = null;
          return;
        }
        if (id === value) return;
        value = id;
        try {
          const entry = (await rungbook.exerciseEntries()).find((/** @type {any} */ item) => idOf(item) === id);
          input.value = entry ? entry.title : id;
          status.textContent = entry ? "" : `No exercise is called “${id}”.`;
          if (!entry) value = null;
        } catch {
          status.textContent = "The list of exercises is missing: build the site again.";
        }
      },
    };
  };
})();
