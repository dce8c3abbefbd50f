// @ts-check
"use strict";
/**
 * The order in which answers are given, as `ladder/answer_order.py`: three first by the size of the
 * relief, what a reason itself asks for and what the ladder gives before all else, then the rest.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const PLACES = ["neighbour", "same", "library", "solved"];
  const SLOTS = ["a little less", "about half", "gentlest"];
  /** @type {Object<string, string[]>} */
  const FIRST = { high: ["about half", "gentlest", "a little less"], moderate: SLOTS, low: SLOTS };
  const [LEAST_HALF, MOST_HALF, ABOUT_THE_SAME] = [0.35, 0.65, 0.98];
  /** @type {Object<string, string>} */
  const ASKED_FOR = { "next day": "dose", volume: "dose", speed: "tempo", range: "movement", lengthening: "movement" };
  const CONTRACTING = ["lifting", "lowering", "holding"];
  const FAR = 10 ** 6;

  /** @param {Map<string, any>} eased @param {[string, string][]} changes @param {boolean} short @param {boolean} bothDown */
  function askedFor(eased, changes, short, bothDown) {
    const wanted = [...eased.keys()].map((reason) => ASKED_FOR[reason]).filter(Boolean);
    if (changes.some(([what]) => wanted.includes(what)) || (short && wanted.includes("movement"))) return true;
    const gone = CONTRACTING.some((reason) => eased.has(reason) && eased.get(reason).now <= 0);
    return gone || (bothDown && eased.has("lowering"));
  }

  const shareOf = (/** @type {any} */ one) => (one.share === null ? 1 : one.share);
  const less = (/** @type {any} */ one) => one.share !== null && one.share <= ABOUT_THE_SAME;
  const belowOf = (/** @type {any} */ one) => (one.backUp === null ? FAR : one.backUp);
  const place = (/** @type {any} */ one) => [Number(!one.askedFor), PLACES.indexOf(one.kind), one.notLoaded];
  const fromHalf = (/** @type {any} */ one, unit = 1) =>
    Math.floor((Math.abs(Math.round(10000 * shareOf(one)) - 5000) + Math.floor(unit / 2)) / unit);

  /** @param {any[]} a @param {any[]} b */
  function byKeys(a, b) {
    for (let i = 0; i < a.length; i += 1) {
      const order = typeof a[i] === "string" ? rungbook.routes.byCodePoints(a[i], b[i]) : a[i] - b[i];
      if (order) return order;
    }
    return 0;
  }

  /** @param {any[]} options @param {(one: any) => any[]} key */
  const sorted = (options, key) => options.map((one) => /** @type {[any[], any]} */ ([key(one), one]))
    .sort(([a], [b]) => byKeys(a, b)).map(([, one]) => one);

  /** The three first, by their slots. @param {any[]} options @param {any} asked */
  function three(options, asked) {
    const pool = options.filter((one) => one.mayLead && less(one));
    /** @type {Map<string, any>} */
    const found = new Map();
    const pick = (/** @type {string} */ slot, /** @type {any[]} */ some, /** @type {(one: any) => any[]} */ nearest) => {
      const [best] = sorted(some, (one) => [...place(one), ...nearest(one)]);
      if (best) found.set(slot, best);
    };
    pick("a little less", pool.filter((one) => shareOf(one) > MOST_HALF),
      (one) => [belowOf(one), Number(one.rises.includes("volume")), -shareOf(one), one.id]);
    pick("about half", pool.filter((one) => shareOf(one) >= LEAST_HALF && shareOf(one) <= MOST_HALF),
      (one) => [fromHalf(one, 1000), one.rises.length, fromHalf(one, 500), shareOf(one), one.id]);
    const least = Math.min(1, ...[...found.values()].map(shareOf));
    const moved = (/** @type {any} */ one) => one.kindOfWork === "none" || one.kindOfWork === "passive";
    pick("gentlest", pool.filter((one) => shareOf(one) < least && ((one.demand || 0) >= asked.least || (asked.passive && moved(one)))),
      (one) => [shareOf(one), belowOf(one), one.id]);
    return found;
  }

  /** Every option once, the three first ones with their slots. @param {any[]} options @param {any} asked */
  function inOrder(options, asked) {
    const slots = three(options, asked);
    const first = sorted((FIRST[asked.irritability] || SLOTS).filter((slot) => slots.has(slot))
      .map((slot) => Object.assign(/** @type {any} */ (slots.get(slot)), { slot })), place);
    const near = (/** @type {any} */ one) => (asked.irritability === "high" ? fromHalf(one) : -shareOf(one));
    const rest = options.filter((one) => !first.includes(one));
    return [...first, ...sorted(rest, (one) => [Number(!less(one)), ...place(one), near(one), one.id])];
  }

  /** Why none of the three first answers is there. @param {any[]} options @param {number} leftOut */
  function nothingFirst(options, leftOut) {
    if (options.some((one) => one.slot)) return null;
    if (!options.length) return leftOut ? "left out" : "none";
    const leading = options.filter((one) => one.mayLead);
    if (leading.some(less)) return "too little";
    if (leading.some((one) => one.share !== null)) return "about the same";
    return leading.length ? "not known" : "none";
  }

  rungbook.answerOrder = { askedFor, inOrder, nothingFirst };
})();
