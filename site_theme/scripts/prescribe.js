// @ts-check
"use strict";
/** One button on an exercise's page that copies the prescription line for the notes. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});

  /** @param {HTMLElement} place */
  function offer(place) {
    const id = place.dataset.prescribe || "";
    const el = rungbook.element;
    const status = el("div", { role: "status", class: "tool-status" });
    const side = el("select", { id: "prescribe-side" },
      el("option", { value: "" }, "choose"), el("option", { value: "left" }, "left"),
      el("option", { value: "right" }, "right"), el("option", { value: "both" }, "both"));
    const oneSided = place.dataset.oneSided !== undefined;
    const button = el("button", { type: "button", class: "quiet-act" }, "Copy the line for the notes");
    button.addEventListener("click", async () => {
      if (oneSided && !side.value) {
        status.textContent = "Which side? Choose it first.";
        side.focus();
        return;
      }
      try {
        const lines = await rungbook.prescriptionLines([{ id, side: oneSided ? side.value : "", dose: null }]);
        await rungbook.copy(lines[0], status, "The line is copied.");
      } catch {
        status.textContent = "The data of this exercise is missing: build the site again.";
      }
    });
    if (oneSided) place.append(el("label", { for: "prescribe-side" }, "Side"), side);
    place.append(button, status);
    place.hidden = false;
  }

  document.addEventListener("DOMContentLoaded", () => {
    document.querySelectorAll("[data-prescribe]").forEach((place) => offer(/** @type {HTMLElement} */ (place)));
  });
})();
