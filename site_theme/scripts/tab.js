// @ts-check
"use strict";
/**
 * What stays in this tab: the one way by which a patient's figures and orders go from page to
 * page. `window.name` holds them only while a link of this site is being followed: every page
 * reads and empties it before anything else, since it would outlive a change of origin. It takes
 * no more than what was meant for itself, just now: a name may lie in a page that was left.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const MARK = "rungbook-tab:";
  const GOOD_FOR_MS = 15000;
  let values = "";

  /** A page's address: some servers leave out what its name ends with. @param {string} address */
  const page = (address) => address.split("#")[0].replace(/(?:index)?\.html$/, "").replace(/\/$/, "");

  /** Empties the name; keeps what it held if it was for this page. */
  function take() {
    const { name } = window;
    if (!name.startsWith(MARK)) return;
    window.name = "";
    try {
      const { to, at, given } = JSON.parse(name.slice(MARK.length));
      const age = Date.now() - at;
      if (to === page(location.href) && age >= 0 && age < GOOD_FOR_MS) values = String(given);
    } catch {
      // Not ours, or cut short: nothing was handed over.
    }
  }

  function empty() {
    if (window.name.startsWith(MARK)) window.name = "";
  }

  rungbook.tab = {
    /** What was handed over, once. @returns {string} */
    taken() {
      const given = values;
      values = "";
      return given;
    },
    /** For the page that is about to open in this tab. @param {string} to @param {string} given */
    handOver(to, given) {
      if (!given) return;
      window.name = MARK + JSON.stringify({ to: page(new URL(to, location.href).href), at: Date.now(), given });
      setTimeout(empty, GOOD_FOR_MS); // still here: nothing opened
    },
    empty,
  };
  take();
  // A page that the browser kept alive has the name with which it was left.
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) empty();
  });
})();
