// @ts-check
"use strict";
/**
 * Data files: classic scripts that register a value, loaded when first asked for.
 * They work from the disk, where a page may not fetch.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  /** @type {Map<string, any>} */
  const values = new Map();
  /** @type {Map<string, Promise<any>>} */
  const loading = new Map();

  /** The way from this page to the site's top folder. */
  rungbook.root = function () {
    const marked = /** @type {HTMLElement | null} */ (document.querySelector("[data-root]"));
    return (marked && marked.dataset.root) || "";
  };

  /**
   * Called by the data files themselves.
   * @param {string} name
   * @param {any} value
   */
  rungbook.register = function (name, value) {
    values.set(name, value);
  };

  /**
   * The value of a data file, such as `load("search")` or `load("exercises/heel-raise")`.
   * @param {string} name
   * @returns {Promise<any>} rejected where there is no such file
   */
  rungbook.load = function (name) {
    const known = loading.get(name);
    if (known) return known;
    const promise = new Promise((resolve, reject) => {
      if (values.has(name)) {
        resolve(values.get(name));
        return;
      }
      const script = document.createElement("script");
      script.src = rungbook.root() + "data/" + name.split("/").map(encodeURIComponent).join("/") + ".js";
      script.onload = () =>
        values.has(name) ? resolve(values.get(name)) : reject(new Error("empty data file: " + name));
      script.onerror = () => {
        loading.delete(name);
        script.remove();
        reject(new Error("missing data file: " + name));
      };
      document.head.append(script);
    });
    loading.set(name, promise);
    return promise;
  };
})();
