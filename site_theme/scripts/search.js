// @ts-check
"use strict";
/** The search fields. The index is loaded when a field is first used. */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const MOST = 20;

  /** A result as a link may show it: its figure, its title, what it is. @param {any} entry */
  rungbook.searchResult = function (entry) {
    const source = rungbook.root() + entry.href.replace(/^exercises/, "figures").replace(/html$/, "svg");
    return [
      entry.pictured ? rungbook.element("img", { src: source, width: 64, height: 48, alt: "" }) : null,
      rungbook.element("span", { class: "search-words" },
        rungbook.element("span", { class: "search-title" }, entry.title),
        entry.about ? rungbook.element("span", { class: "search-about" }, entry.about) : null),
    ];
  };

  /** @param {HTMLElement} place */
  function attach(place) {
    const input = /** @type {HTMLInputElement} */ (place.querySelector("input"));
    if (!input) return;
    const id = input.id + "-results";
    const results = rungbook.element("ul", { class: "search-results", id, hidden: true });
    const status = rungbook.element("p", { class: "search-status", role: "status", "aria-live": "polite" });
    place.append(rungbook.element("div", { class: "search-panel" }, status, results));
    input.setAttribute("autocomplete", "off");
    input.setAttribute("aria-controls", id);
    /** @type {any} */
    let index = null;

    async function ready() {
      if (!index) index = rungbook.search.index(await rungbook.load("search"));
      return index;
    }

    /** @param {any} entry */
    function line(entry) {
      const link = rungbook.element("a", { href: rungbook.root() + entry.href }, ...rungbook.searchResult(entry));
      return rungbook.element("li", {}, link);
    }

    async function show() {
      const query = input.value;
      if (!query.trim()) {
        results.hidden = true;
        rungbook.fill(results);
        rungbook.fill(status);
        return;
      }
      let known;
      try {
        known = await ready();
      } catch {
        status.textContent = "The search index is missing: build the site again.";
        return;
      }
      if (input.value !== query) return;
      const answer = rungbook.search.ask(known, query);
      const more = answer.found.length > MOST ? `, the first ${MOST} shown: type more to narrow it` : "";
      results.hidden = answer.found.length === 0;
      rungbook.fill(results, ...answer.found.slice(0, MOST).map(line));
      rungbook.fill(status, rungbook.search.words(answer, `${answer.found.length} found${more}`));
      if (!answer.found.length) status.append(" ", rungbook.element("a", { href: rungbook.root() + "index.html#areas" }, "All areas"));
    }

    input.addEventListener("focus", () => void ready().catch(() => undefined));
    input.addEventListener("input", () => void show());
    place.addEventListener("keydown", (event) => {
      const links = [...results.querySelectorAll("a")];
      const at = links.indexOf(/** @type {HTMLAnchorElement} */ (document.activeElement));
      if (event.key === "Enter" && event.target === input) {
        event.preventDefault();
        void show().then(() => {
          const first = results.querySelector("a");
          if (first) first.click();
        });
      } else if (event.key === "ArrowDown" && links.length) {
        links[Math.min(at + 1, links.length - 1)].focus();
        event.preventDefault();
      } else if (event.key === "ArrowUp" && at >= 0) {
        if (at === 0) input.focus();
        else links[at - 1].focus();
        event.preventDefault();
      } else if (event.key === "Escape") {
        input.value = "";
        void show();
        input.focus();
      }
    });
    return input;
  }

  document.addEventListener("DOMContentLoaded", () => {
    const fields = [...document.querySelectorAll("[data-search]")].map((place) =>
      attach(/** @type {HTMLElement} */ (place)),
    );
    const state = rungbook.state;
    const key = /** @type {HTMLInputElement | null} */ (document.getElementById("search-key"));
    const show = () => { /** @type {HTMLInputElement} */ (key).checked = state.get("keys") !== "off"; };
    if (!key) return; // in a host's own frame nothing could switch it off
    /** @type {HTMLElement} */ (key.parentElement).hidden = false;
    key.addEventListener("change", () => state.set({ keys: key.checked ? null : "off" }));
    state.onChange(show);
    show();
    document.addEventListener("keydown", (event) => {
      if (state.get("keys") === "off") return;
      const typing = event.target instanceof Element && event.target.closest("input, textarea, select");
      if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || typing) return;
      const seen = fields.find((field) => field && field.getClientRects().length > 0);
      if (!seen) return;
      event.preventDefault();
      seen.focus();
    });
  });
})();
