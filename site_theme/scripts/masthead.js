// @ts-check
"use strict";
/** On a phone the main links wait behind one button, so that the masthead is one line. */
(function () {
  document.addEventListener("DOMContentLoaded", () => {
    const nav = document.getElementById("masthead-nav");
    const button = /** @type {HTMLElement | null} */ (document.querySelector(".masthead-menu"));
    if (!nav || !button) return;
    const show = (/** @type {boolean} */ open) => {
      button.setAttribute("aria-expanded", String(open));
      nav.classList.toggle("masthead-open", open);
    };
    button.addEventListener("click", () => show(button.getAttribute("aria-expanded") !== "true"));
    nav.parentElement?.addEventListener("keydown", (event) => {
      if (event.key === "Escape" && button.getAttribute("aria-expanded") === "true") {
        show(false);
        button.focus();
      }
    });
  });
})();
