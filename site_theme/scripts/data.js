// @ts-check
"use strict";
/**
 * Data files: classic scripts that register a value, loaded when first asked for. They work from
 * the disk, where a page may not fetch. What an address or a person writes never names a file:
 * but for the few files named here, only what the library's own index (`data/names.js`) lists is
 * loaded, and nothing else in the site makes a script element.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const WHOLE = new Set(["names", "search", "library", "graph", "edges", "angles", "within"]);
  const OF_A_LADDER = new Set(["start"]);
  const OF_AN_EXERCISE = new Set(["relief", "exercise", "joints", "sheet", "after", "motion"]);
  const OF_AN_ACTION = new Set(["profiles", "moments"]);
  const OF_A_LANGUAGE = new Set(["words", "frame"]);
  /** @type {Map<string, any>} */
  const values = new Map();
  /** @type {Map<string, Promise<any>>} */
  const loading = new Map();
  /** @type {Promise<{exercises: Set<string>, ladders: Set<string>, languages: Set<string>, profiles: number}> | null} */
  let index = null;

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

  /** What the library has files of. */
  function names() {
    index = index || rungbook.load("names").then(
      (/** @type {any} */ { exercises, ladders, languages, profiles }) =>
        ({ exercises: new Set(exercises), ladders: new Set(ladders), languages: new Set(languages), profiles }),
      (/** @type {Error} */ error) => {
        index = null; // the next one tries again
        throw error;
      });
    return /** @type {Promise<{exercises: Set<string>, ladders: Set<string>, languages: Set<string>, profiles: number}>} */ (index);
  }

  /** Whether there is such a file. @param {string} name @returns {Promise<boolean>} */
  async function listed(name) {
    if (WHOLE.has(name)) return true;
    const cut = name.indexOf("/");
    const [folder, key] = [name.slice(0, cut), name.slice(cut + 1)];
    const known = await names();
    if (OF_AN_EXERCISE.has(folder)) return known.exercises.has(key);
    if (OF_A_LADDER.has(folder)) return known.ladders.has(key);
    if (OF_A_LANGUAGE.has(folder)) return known.languages.has(key);
    return OF_AN_ACTION.has(folder) && /^\d+$/.test(key) && Number(key) < known.profiles;
  }

  /** @param {string} name a listed one @returns {Promise<void>} */
  function run(name) {
    return new Promise((resolve, reject) => {
      const script = document.createElement("script");
      script.src = rungbook.root() + "data/" + name.split("/").map(encodeURIComponent).join("/") + ".js";
      script.onload = () => resolve();
      script.onerror = () => {
        script.remove();
        reject(new Error("missing data file: " + name));
      };
      document.head.append(script);
    });
  }

  /** @param {string} name @returns {Promise<any>} */
  async function find(name) {
    if (values.has(name)) return values.get(name);
    if (!(await listed(name))) throw new Error("the library has no " + name);
    if (!values.has(name)) await run(name);
    if (!values.has(name)) throw new Error("empty data file: " + name);
    return values.get(name);
  }

  /**
   * The value of a data file, such as `load("search")` or `load("exercise/heel-raise")`.
   * @param {string} name
   * @returns {Promise<any>} rejected where the library has no such file
   */
  rungbook.load = function (name) {
    const known = loading.get(name);
    if (known) return known;
    const promise = find(name);
    loading.set(name, promise);
    promise.catch(() => loading.delete(name));
    return promise;
  };
})();
