// @ts-check
"use strict";
/**
 * Search over titles, other names, areas and equipment, by the beginnings of words.
 * The index is loaded when the field is first used.
 *
 * @typedef {Object} Entry
 * @property {string} href
 * @property {string} title
 * @property {string} about
 * @property {string} titleWords " heel raise" with a space before each word
 * @property {string} otherWords
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const MOST = 20;

  /** Lower case, without accents, other signs as spaces. @param {string} text */
  function plain(text) {
    return text
      .normalize("NFD")
      .replace(/[\u0300-\u036f]/g, "")
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, " ")
      .trim();
  }

  /**
   * @param {{areas: string[], equipment: string[], kinds: string[], rows: any[][]}} data
   * @returns {Entry[]}
   */
  function entries(data) {
    return data.rows.map(([path, title, area, also, equipment, kinds]) => {
      const others = [...(also || []), data.areas[area] || "", ...(equipment || []).map((/** @type {number} */ i) => data.equipment[i]),
        ...(kinds || []).map((/** @type {number} */ i) => data.kinds[i])];
      const folder = path.includes("/") ? path : "exercises/" + path;
      return {
        href: folder + ".html",
        title,
        about: [data.areas[area], ...(also || [])].filter(Boolean).join(" · "),
        titleWords: " " + plain(title),
        otherWords: " " + plain(others.join(" ")),
      };
    });
  }

  /**
   * The best entries for a query: every word of it begins a word of the entry.
   * @param {Entry[]} index @param {string} query
   */
  function find(index, query) {
    const words = plain(query).split(" ").filter(Boolean);
    if (!words.length) return [];
    const whole = " " + words.join(" ");
    /** @type {[number, Entry][]} */
    const found = [];
    for (const entry of index) {
      let score = 0;
      for (const word of words) {
        const inTitle = entry.titleWords.includes(" " + word);
        if (!inTitle && !entry.otherWords.includes(" " + word)) {
          score = -1;
          break;
        }
        score += inTitle ? 2 : 1;
      }
      if (score < 0) continue;
      if (entry.titleWords.startsWith(whole)) score += 3;
      found.push([score, entry]);
    }
    found.sort((a, b) => b[0] - a[0] || a[1].title.length - b[1].title.length || (a[1].href < b[1].href ? -1 : 1));
    return found.map(([, entry]) => entry);
  }

  /** Letters to change, add, drop or swap; gives up above `most`. @param {string} a @param {string} b @param {number} most */
  function distance(a, b, most) {
    if (Math.abs(a.length - b.length) > most) return most + 1;
    /** @type {number[]} */
    let before = [];
    let row = Array.from({ length: b.length + 1 }, (_, j) => j);
    for (let i = 1; i <= a.length; i += 1) {
      const next = [i];
      let least = i;
      for (let j = 1; j <= b.length; j += 1) {
        const same = a[i - 1] === b[j - 1];
        let cost = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (same ? 0 : 1));
        if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
          cost = Math.min(cost, before[j - 2] + 1);
        }
        next[j] = cost;
        least = Math.min(least, cost);
      }
      if (least > most) return most + 1;
      before = row;
      row = next;
    }
    return row[b.length];
  }

  /** @type {WeakMap<Entry[], Set<string>>} */
  const vocabularies = new WeakMap();

  /** Every word of an index. @param {Entry[]} index @returns {Set<string>} */
  function wordsOf(index) {
    const known = vocabularies.get(index);
    if (known) return known;
    const vocabulary = new Set();
    for (const entry of index) {
      for (const word of (entry.titleWords + entry.otherWords).split(" ")) if (word) vocabulary.add(word);
    }
    vocabularies.set(index, vocabulary);
    return vocabulary;
  }

  /**
   * The query with each unknown word replaced by the nearest known one; null where none is near.
   * @param {Entry[]} index @param {string} query
   * @returns {string | null}
   */
  function suggest(index, query) {
    const vocabulary = wordsOf(index);
    const words = plain(query).split(" ").filter(Boolean);
    const mended = words.map((word) => {
      for (const known of vocabulary) if (known.startsWith(word)) return word;
      let best = null;
      let least = Math.max(1, Math.floor(word.length / 3)) + 1;
      for (const known of vocabulary) {
        for (const part of known.length > word.length ? [known, known.slice(0, word.length)] : [known]) {
          const far = distance(word, part, Math.ceil(least)) + (part === known ? 0 : 0.5);
          if (far < least) {
            least = far;
            best = known;
          }
        }
      }
      return best;
    });
    if (!mended.length || mended.some((word) => word === null)) return null;
    const text = mended.join(" ");
    return text !== words.join(" ") && find(index, text).length ? text : null;
  }

  rungbook.search = { entries, find, suggest };

  /** @param {HTMLElement} place the search's form, or its wrapper */
  function attach(place) {
    const input = /** @type {HTMLInputElement} */ (place.querySelector("input"));
    if (!input) return;
    const results = rungbook.element("ul", { class: "search-results", id: "search-results", hidden: true });
    const status = rungbook.element("p", { class: "search-status", role: "status", "aria-live": "polite" });
    const panel = rungbook.element("div", { class: "search-panel" }, status, results);
    place.append(panel);
    input.setAttribute("autocomplete", "off");
    input.setAttribute("aria-controls", "search-results");
    /** @type {Entry[] | null} */
    let index = null;

    async function ready() {
      if (!index) index = entries(await rungbook.load("search"));
      return index;
    }

    /** @param {Entry} entry */
    function line(entry) {
      const link = rungbook.element(
        "a",
        { href: rungbook.root() + entry.href },
        rungbook.element("span", { class: "search-title" }, entry.title),
        entry.about ? rungbook.element("span", { class: "search-about" }, entry.about) : null,
      );
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
      const found = find(known, query);
      results.hidden = found.length === 0;
      rungbook.fill(results, ...found.slice(0, MOST).map(line));
      if (found.length) {
        const more = found.length > MOST ? `, the first ${MOST} shown: type more to narrow it` : "";
        status.textContent = `${found.length} found${more}`;
        return;
      }
      const nearest = suggest(known, query);
      if (!nearest) {
        status.textContent = "Nothing fits. Try the muscle, the joint or the equipment.";
        return;
      }
      const button = rungbook.element("button", { type: "button", class: "search-suggestion" }, nearest);
      button.addEventListener("click", () => {
        input.value = nearest;
        input.focus();
        show();
      });
      rungbook.fill(status, "Nothing fits. Did you mean ", button, "?");
    }

    input.addEventListener("focus", () => void ready().catch(() => undefined));
    input.addEventListener("input", () => void show());
    const form = place.closest("form") || place.querySelector("form");
    if (form) {
      form.addEventListener("submit", (event) => {
        event.preventDefault();
        const first = results.querySelector("a");
        if (first) first.click();
      });
    }
    place.addEventListener("keydown", (event) => {
      const links = [...results.querySelectorAll("a")];
      const at = links.indexOf(/** @type {HTMLAnchorElement} */ (document.activeElement));
      if (event.key === "ArrowDown" && links.length) {
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
    document.addEventListener("keydown", (event) => {
      const typing = event.target instanceof Element && event.target.closest("input, textarea, select");
      if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey || typing) return;
      const seen = fields.find((field) => field && field.getClientRects().length > 0);
      if (!seen) return;
      event.preventDefault();
      seen.focus();
    });
  });
})();
