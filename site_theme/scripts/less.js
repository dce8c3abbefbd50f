// @ts-check
"use strict";
/** Less of the same: presses that rewrite the dose line and what goes on the sheet. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});

  /** @param {HTMLElement} list */
  function offer(list) {
    const line = document.querySelector("[data-dose-line]");
    const status = document.querySelector("[data-less-status]");
    const own = line ? line.textContent : "";
    /** @type {HTMLElement[]} */
    const buttons = [];
    for (const item of list.querySelectorAll("li")) {
      const button = rungbook.element("button", { type: "button", "aria-pressed": "false", "data-dose": item.dataset.dose || "" }, item.textContent || "");
      button.addEventListener("click", () => {
        const pressed = button.getAttribute("aria-pressed") !== "true";
        for (const each of buttons) each.setAttribute("aria-pressed", String(pressed && each === button));
        if (line) line.textContent = pressed ? item.dataset.line || own : own;
        if (status) status.textContent = pressed ? "The dose above is this one; added to a sheet, it goes along." : "The dose is the exercise’s own again.";
      });
      item.replaceChildren(button);
      buttons.push(button);
    }
  }

  document.addEventListener("DOMContentLoaded", () => {
    document.querySelectorAll("[data-less]").forEach((list) => offer(/** @type {HTMLElement} */ (list)));
    document.querySelectorAll("[data-add-to-sheet]").forEach((node) => {
      const link = /** @type {HTMLElement} */ (node);
      link.addEventListener("click", () => {
        rungbook.sheetState.add(link.dataset.addToSheet || "", "");
        link.setAttribute("href", rungbook.state.link(rungbook.root() + "sheet.html"));
      });
    });
  });
})();
