// @ts-check
"use strict";
/**
 * Every exercise that fits what is allowed, shortened where that makes it fit, lightest first: the
 * same answers as `ladder/within.py` and `rungbook within`.
 *
 * @typedef {{movement: string, from: number, to: number, insteadOf: number, until: number}} Shortened
 * @typedef {Object} Fitting
 * @property {string} id
 * @property {string} title
 * @property {string} kind in words
 * @property {string | null} word the one word of the kind; null where not known
 * @property {number | null} demand N·m of what is left of the movement
 * @property {Shortened | null} shortened
 * @property {boolean} draft
 * @property {[string, number] | null} instead the opposite muscles, where those it names have nothing to do
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const LEAST_ARC = 10;
  const KINDS = ["none", "passive", "assisted", "active", "resisted"];
  const UNKNOWN = { filter: "load", value: "", title: "load not known", words: "its load is not known", until: -1 };

  /** The name under which most angles are positive, and what to multiply them with. @param {[string, string]} lead @param {number[]} angles @param {any} library @returns {[string, number]} */
  function positive([joint, movement], angles, library) {
    if (angles.reduce((sum, one) => sum + one, 0) >= 0) return [movement, 1];
    const bare = joint.replace(/^other-/, "");
    const [, axis, sign] = library.movements.find((/** @type {any[]} */ row) => row[0] === `${bare} ${movement}`);
    const other = library.movements.find((/** @type {any[]} */ row) => row[0].startsWith(bare + " ") && row[1] === axis && row[2] === -sign);
    return other ? [other[0].slice(bare.length + 1), -1] : [movement, 1];
  }

  /** The exercise as far as limits let it go; null where too little is left to move. @param {any} row @param {number} until @param {any} library @returns {Shortened | null} */
  function shortened(row, until, library) {
    const { END, atPlace } = rungbook.limits;
    if (!row || !row.lead || until <= 0 || until >= END) return null;
    const [start, end, stop] = [row.angles[0], row.angles[END], atPlace(row.angles, until)];
    if (Math.abs(stop - start) < LEAST_ARC) return null;
    const [movement, sign] = positive(row.lead, [start, stop, end], library);
    return { movement: `${row.lead[0].replace(/^other-/, "other ")} ${movement}`, from: sign * start, to: sign * stop, insteadOf: sign * end, until };
  }

  /** Peak about what the exercise works, up to a place of its movement. @param {any} row @param {number} until */
  function demandUntil(row, until) {
    if (row.peak === null || until >= rungbook.limits.END || !row.curves) return row.peak;
    return Math.max(0, ...row.curves.map((/** @type {number[]} */ curve) => rungbook.limits.greatestUntil(curve, until)));
  }

  /** @param {any} row */
  function kindOf(row) {
    if (!row || !row.kind) return { word: null, kind: "kind of work not known" };
    const [number, held] = row.kind;
    const share = row.carried ? `, ${Math.round(100 * row.carried)} % of the limb carried` : "";
    return { word: held ? "held" : KINDS[number], kind: KINDS[number] + (held ? ", held" : "") + share };
  }

  /**
   * @param {any} library @param {any} features @param {any} file `data/within.js` @param {any} filters
   * @returns {{fitting: Fitting[], leftOut: {id: string, title: string, objection: any}[], most: [string, number, any] | null}}
   */
  function find(library, features, file, filters) {
    /** @type {Fitting[]} */
    const fitting = [];
    const leftOut = [];
    /** @type {Map<string, [number, any]>} */
    const alone = new Map();
    const all = features.values();
    for (let number = 0; number < all.length; number += 1) {
      const [feature, row] = [all[number], file.rows[number]];
      const objections = rungbook.filters.objections(filters, feature, library);
      if (objections.length && objections[0].filter === "area") continue; // not asked about
      for (const one of objections) {
        if (!shortened(row, one.until, library)) alone.set(one.title, [(alone.get(one.title) || [0])[0] + 1, one]);
      }
      const together = rungbook.filters.strictest(objections) ||
        (rungbook.filters.aboutLoad(filters) && !(row && row.known) ? UNKNOWN : null);
      const short = together ? shortened(row, together.until, library) : null;
      if (together && !short) {
        leftOut.push({ id: feature.id, title: feature.title, objection: together });
        continue;
      }
      const until = short ? short.until : rungbook.limits.END;
      fitting.push(Object.assign({ id: feature.id, title: feature.title, shortened: short,
        demand: row ? demandUntil(row, until) : null, draft: file.drafts[number] === 1,
        instead: (row && row.instead) || null }, kindOf(row)));
    }
    fitting.sort((a, b) => (a.demand || 0) - (b.demand || 0) || rungbook.routes.byCodePoints(a.id, b.id));
    const most = [...alone].sort(([a, [n]], [b, [m]]) => m - n || rungbook.routes.byCodePoints(a, b))[0];
    return { fitting, leftOut, most: most ? [most[0], most[1][0], most[1][1]] : null };
  }

  /** `only to 90° of shoulder flexion instead of 120°` @param {Shortened} short */
  function cutWords(short) {
    const degrees = (/** @type {number} */ value) => `${rungbook.answers.number(value)}°`;
    return `only to ${degrees(short.to)} of ${short.movement.replace(/-/g, " ")} instead of ${degrees(short.insteadOf)}`;
  }

  /** Asks the same as the form, without the form: for the finder, tests and other scripts. @param {any} filters */
  async function ask(filters) {
    const [library, graph, angles, file] = await Promise.all(
      [rungbook.load("library"), rungbook.load("graph"), rungbook.filters.anglesFor(filters), rungbook.load("within")]);
    const features = rungbook.filters.features(graph, library, angles);
    return Object.assign(find(library, features, file, filters), { library, features });
  }

  /** One exercise that fits. @param {Fitting} one @param {Node} add the button that adds it to the sheet */
  function item(one, add) {
    const el = rungbook.element;
    const load = one.demand === null ? "load not known" : rungbook.answers.moment(one.demand);
    const figure = one.demand === null ? {} : Object.assign({ "data-peak": one.id }, one.shortened ? { "data-until": one.shortened.until } : {});
    return el("li", { class: "option", "data-option": one.id },
      el("div", { class: "option-figure" }, el("span", figure, load)),
      el("div", { class: "option-body" },
        el("div", { class: "neighbour-head" }, rungbook.answers.exerciseLink(one.id, one.title)),
        one.shortened ? el("p", { class: "option-cut" }, cutWords(one.shortened)) : null,
        el("p", { class: "entry-note" }, one.kind),
        one.instead ? el("p", { class: "entry-note" }, rungbook.easier.insteadWords(one.instead)) : null,
        one.draft ? el("p", { class: "entry-note" }, "Draft, not reviewed: cannot go on a sheet until it is.") : null,
        one.draft ? null : el("p", { class: "option-actions" }, add)));
  }

  rungbook.within = { ask, find, item, cutWords, shortened, UNKNOWN };
})();
