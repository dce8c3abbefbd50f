// @ts-check
"use strict";
/** Fields of a form made by script: what is typed stays in them alone, and what is wrong is named. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});

  /** @param {HTMLFormElement} form @param {string} prefix of the ids of its fields */
  rungbook.fields = function (form, prefix) {
    const el = rungbook.element;
    let number = 0;
    const next = () => `${prefix}-${(number += 1)}`;

    /** @param {string} name */
    const field = (name) => /** @type {HTMLInputElement | null} */ (form.elements.namedItem(name));

    /** @param {string} name */
    function value(name) {
      const found = field(name);
      return found ? found.value.trim() : "";
    }

    /** @param {string} name @param {string} title @param {string} [hint] a longer text, with an example */
    function text(name, title, hint) {
      const key = next();
      return el("div", { class: "field" }, el("label", { for: key }, title),
        el("input", { id: key, name, type: "text", size: hint ? 24 : 5, inputmode: hint ? null : "decimal", autocomplete: "off",
          "aria-describedby": hint ? `${key}-error ${key}-hint` : `${key}-error` }),
        el("p", { class: "field-error", id: `${key}-error` }), hint ? el("p", { class: "hint", id: `${key}-hint` }, hint) : null);
    }

    /** @param {string} name @param {string} title @param {string[][]} choices */
    function select(name, title, choices) {
      const key = next();
      return el("div", { class: "field" }, el("label", { for: key }, title),
        el("select", { id: key, name }, ...choices.map(([one, words]) => el("option", { value: one }, words))));
    }

    /** @param {string} name @param {string} key @param {string} title */
    function box(name, key, title) {
      const id = next();
      return el("span", { class: "field-check" }, el("input", { type: "checkbox", name, value: key, id, autocomplete: "off" }), el("label", { for: id }, title));
    }

    /** @param {string} name @param {string} words an error, or "" */
    function mark(name, words) {
      const input = /** @type {HTMLInputElement} */ (field(name));
      const error = /** @type {HTMLElement} */ (document.getElementById(`${input.id}-error`));
      error.textContent = words;
      input.setAttribute("aria-invalid", String(words !== ""));
      return words;
    }

    /** A number, null where none is typed; what is wrong is marked and added to `wrong`. @param {string} name @param {string} title @param {number} most @param {string[]} wrong @returns {number | null} */
    function amount(name, title, most, wrong) {
      if (!field(name)) return null;
      const given = value(name).replace(",", ".");
      const bad = given !== "" && (!/^\d+(\.\d+)?$/.test(given) || Number(given) > most);
      const words = mark(name, bad ? `${title}: ${given} is not between 0 and ${most}.` : "");
      if (words) wrong.push(words);
      return bad || given === "" ? null : Number(given);
    }

    return { field, value, text, select, box, mark, amount };
  };
})();
