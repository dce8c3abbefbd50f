// @ts-check
"use strict";
/**
 * A press ends where it began: what changes because a field was left is drawn only when the
 * finger or button is up again, or a button would move away under it and the press be lost.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const CLICK_FOLLOWS_MS = 40; // a tap's click comes after its finger is up
  const LONGEST_MS = 1500; // released outside the window
  let pressed = false;
  /** @type {Array<() => void>} */
  let waiting = [];

  function free() {
    pressed = false;
    const ready = waiting;
    waiting = [];
    ready.forEach((go) => go());
  }

  window.addEventListener("pointerdown", () => {
    pressed = true;
    setTimeout(free, LONGEST_MS);
  }, true);
  for (const type of ["pointerup", "pointercancel"]) {
    window.addEventListener(type, () => setTimeout(free, CLICK_FOLLOWS_MS), true);
  }

  /** @returns {Promise<void>} at once where nothing is pressed */
  rungbook.released = () => (pressed ? new Promise((resolve) => waiting.push(resolve)) : Promise.resolve());
})();
