// @ts-check
"use strict";
/**
 * The page's state, in the address's fragment and nowhere else: nothing is stored or sent.
 *
 * `#mass=52&stature=1.63&sheet=heel-raise~left`: keys of SHARED go along with every link to
 * another page of the site; the others belong to their page. A word without `=` is an anchor.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const SHARED = ["mass", "stature", "body", "age", "capacity", "arc", "sheet", "paper", "weeks", "language", "large"];
  /** @type {Array<() => void>} */
  const listeners = [];

  /**
   * @param {string} fragment
   * @returns {{anchor: string, values: URLSearchParams}}
   */
  function read(fragment) {
    const text = fragment.replace(/^#/, "");
    const parts = text.split("&").filter((part) => part !== "");
    const anchor = parts.length && !parts[0].includes("=") ? parts[0] : "";
    return { anchor, values: new URLSearchParams(parts.filter((part) => part.includes("=")).join("&")) };
  }

  /**
   * Readable where the fragment allows it: `~ , : /` and spaces as `+` stay.
   * @param {URLSearchParams} values
   */
  function write(values) {
    return values.toString().replace(/%7E/g, "~").replace(/%2C/g, ",").replace(/%3A/g, ":");
  }

  /** @param {string} anchor @param {URLSearchParams} values */
  function fragment(anchor, values) {
    const text = write(values);
    return anchor && text ? anchor + "&" + text : anchor || text;
  }

  let current = read(location.hash);

  const state = {
    /** @param {string} key @returns {string | null} */
    get: (key) => current.values.get(key),
    /** @param {string} key @returns {string[]} */
    all: (key) => current.values.getAll(key),
    /**
     * Sets keys; null, "" and [] take one out, an array gives several.
     * @param {Object<string, string | string[] | null>} changes
     */
    set(changes) {
      for (const [key, value] of Object.entries(changes)) {
        current.values.delete(key);
        for (const item of Array.isArray(value) ? value : value ? [value] : []) {
          current.values.append(key, item);
        }
      }
      const text = fragment(current.anchor, current.values);
      history.replaceState(history.state, "", text ? "#" + text : location.pathname + location.search);
      listeners.forEach((listener) => listener());
    },
    /** Called after every change, from here or from the address. @param {() => void} listener */
    onChange(listener) {
      listeners.push(listener);
    },
    /**
     * A link to another page of the site, with what is shared and `more` in its fragment.
     * @param {string} href @param {Object<string, string | string[]>} [more]
     */
    link(href, more) {
      const [path, hash] = href.split("#");
      const target = read(hash || "");
      for (const [key, value] of Object.entries(more || {})) {
        for (const item of Array.isArray(value) ? value : [value]) target.values.append(key, item);
      }
      for (const key of SHARED) {
        if (target.values.has(key)) continue;
        for (const item of current.values.getAll(key)) target.values.append(key, item);
      }
      const text = fragment(target.anchor, target.values);
      return text ? path + "#" + text : path;
    },
  };
  rungbook.state = state;

  /** @param {string} anchor */
  function goTo(anchor) {
    const place = anchor && document.getElementById(decodeURIComponent(anchor));
    if (!place) return;
    place.closest("details")?.setAttribute("open", "");
    place.scrollIntoView();
    if (!place.matches("a, button, input, select, textarea, summary, [tabindex]")) {
      place.setAttribute("tabindex", "-1");
    }
    place.focus({ preventScroll: true });
  }

  window.addEventListener("hashchange", () => {
    const next = read(location.hash);
    const lost = next.anchor && [...next.values.keys()].length === 0;
    if (lost) next.values = current.values; // a plain in-page link keeps what was set
    current = next;
    if (lost) history.replaceState(history.state, "", "#" + fragment(current.anchor, current.values));
    goTo(current.anchor);
    listeners.forEach((listener) => listener());
  });

  /** Passes what is shared along, just before a link is followed. @param {Event} event */
  function passAlong(event) {
    const start = event.target instanceof Element ? event.target : null;
    const link = start && start.closest("a[href]");
    if (!link) return;
    const href = link.getAttribute("href") || "";
    if (href.startsWith("#") || /^[a-z][a-z0-9+.-]*:/i.test(href) || href.startsWith("//")) return;
    const next = state.link(withoutShared(href));
    if (next !== href) link.setAttribute("href", next);
  }

  /** What an earlier pass added goes first, so that a cleared value does not come back. @param {string} href */
  function withoutShared(href) {
    const [path, hash] = href.split("#");
    if (!hash) return path;
    const target = read(hash);
    for (const key of SHARED) target.values.delete(key);
    const text = fragment(target.anchor, target.values);
    return text ? path + "#" + text : path;
  }
  for (const type of ["pointerdown", "focusin", "click", "contextmenu"]) {
    document.addEventListener(type, passAlong, true);
  }
  document.addEventListener("DOMContentLoaded", () => {
    if (current.anchor && [...current.values.keys()].length) goTo(current.anchor);
  });
})();
