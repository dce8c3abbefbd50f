// @ts-check
"use strict";
/**
 * The way from one exercise to another whose largest step is smallest: the same order of
 * preference as `ladder/routes.py`, so the same route.
 *
 * @typedef {Map<string, Map<string, number>>} Sizes easier -> harder -> size
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const ROUNDING = 1e-9;

  /** @param {Sizes} sizes @param {number} largest @returns {Sizes} */
  function upTo(sizes, largest) {
    /** @type {Sizes} */
    const kept = new Map();
    for (const [easier, harders] of sizes) {
      kept.set(easier, new Map([...harders].filter(([, size]) => size <= largest + ROUNDING)));
    }
    return kept;
  }

  /**
   * The smallest largest step on any way, no less than `least`; null where there is no way.
   * @param {Sizes} sizes @param {string} from @param {string} to @param {number} least
   */
  function smallestLargest(sizes, from, to, least) {
    /** @type {[number, string][]} a heap by its first value */
    const heap = [[least, from]];
    const settled = new Set();
    const swap = (/** @type {number} */ a, /** @type {number} */ b) => ([heap[a], heap[b]] = [heap[b], heap[a]]);
    const push = (/** @type {[number, string]} */ item) => {
      heap.push(item);
      for (let i = heap.length - 1; i > 0; ) {
        const up = (i - 1) >> 1;
        if (heap[up][0] <= heap[i][0]) break;
        swap(i, up);
        i = up;
      }
    };
    const pop = () => {
      const top = heap[0];
      const last = /** @type {[number, string]} */ (heap.pop());
      if (heap.length) {
        heap[0] = last;
        for (let i = 0; ; ) {
          let small = i;
          for (const child of [2 * i + 1, 2 * i + 2]) {
            if (child < heap.length && heap[child][0] < heap[small][0]) small = child;
          }
          if (small === i) break;
          swap(i, small);
          i = small;
        }
      }
      return top;
    };
    while (heap.length) {
      const [largest, rung] = pop();
      if (rung === to) return largest;
      if (settled.has(rung)) continue;
      settled.add(rung);
      for (const [harder, size] of sizes.get(rung) || []) {
        if (!settled.has(harder)) push([Math.max(largest, size), harder]);
      }
    }
    return null;
  }

  /** How many steps below the goal each exercise is. @param {Sizes} sizes @param {string} to */
  function distances(sizes, to) {
    /** @type {Map<string, string[]>} */
    const easierOf = new Map();
    for (const [easier, harders] of sizes) {
      for (const harder of harders.keys()) {
        const known = easierOf.get(harder);
        if (known) known.push(easier);
        else easierOf.set(harder, [easier]);
      }
    }
    const below = new Map([[to, 0]]);
    const waiting = [to];
    for (let at = 0; at < waiting.length; at += 1) {
      for (const easier of easierOf.get(waiting[at]) || []) {
        if (!below.has(easier)) {
          below.set(easier, /** @type {number} */ (below.get(waiting[at])) + 1);
          waiting.push(easier);
        }
      }
    }
    return below;
  }

  /**
   * The rungs of the best way, or null.
   * @param {Sizes} sizes @param {string} from @param {string} to
   */
  function smallestSteps(sizes, from, to) {
    const largest = smallestLargest(sizes, from, to, 1);
    if (largest === null) return null;
    const allowed = upTo(sizes, largest);
    const below = distances(allowed, to);
    /** @type {Sizes} */
    const nearer = new Map();
    for (const [easier, harders] of allowed) {
      nearer.set(easier, new Map([...harders].filter(([harder]) =>
        below.has(harder) && /** @type {number} */ (below.get(harder)) + 1 === below.get(easier))));
    }
    const least = smallestLargest(nearer, from, to, 0);
    const best = upTo(nearer, least === null ? largest : least);
    const reached = distances(best, to);
    const rungs = [from];
    while (rungs[rungs.length - 1] !== to) {
      const onward = [...(best.get(rungs[rungs.length - 1]) || new Map()).keys()].filter((harder) => reached.has(harder));
      onward.sort(byCodePoints);
      rungs.push(onward[0]);
    }
    return rungs;
  }

  /** Python's order of texts: by code points. @param {string} a @param {string} b */
  function byCodePoints(a, b) {
    const left = [...a];
    const right = [...b];
    for (let i = 0; i < Math.min(left.length, right.length); i += 1) {
      const by = /** @type {number} */ (left[i].codePointAt(0)) - /** @type {number} */ (right[i].codePointAt(0));
      if (by) return by;
    }
    return left.length - right.length;
  }

  /**
   * The first ladder, by id, that has all of the exercises on it.
   * @param {any} library @param {string[]} exercises
   */
  function ladderOf(library, exercises) {
    return library.ladders.find((/** @type {any} */ ladder) => exercises.every((id) => ladder.rungs.includes(id))) || null;
  }

  /**
   * @typedef {Object} Ways
   * @property {Map<string, [string, number | null, number][]>} harder easier -> [harder, size, days]
   * @property {Map<string, string[]>} easier harder -> easier
   */

  /** @type {WeakMap<any, Ways>} */
  const known = new WeakMap();

  /**
   * The progressions of the library, each way round.
   * @param {any} graph `data/graph.js` @param {any} edges `data/edges.js`
   * @returns {Ways}
   */
  function ways(graph, edges) {
    const before = known.get(edges);
    if (before) return before;
    /** @type {Ways} */
    const found = { harder: new Map(), easier: new Map() };
    let number = 0;
    for (let at = 0; at < edges.from.length; at += 1) {
      number += edges.from[at];
      const easier = graph.exercises[number][0];
      const harder = graph.exercises[number + edges.to[at]][0];
      put(found.harder, easier, [harder, edges.sizes[at], edges.days[at]]);
      put(found.easier, harder, easier);
    }
    known.set(edges, found);
    return found;
  }

  /** @param {Map<string, any[]>} lists @param {string} key @param {any} value */
  function put(lists, key, value) {
    const list = lists.get(key);
    if (list) list.push(value);
    else lists.set(key, [value]);
  }

  /** The exercises that some way leads from to the goal, with the goal. @param {Ways} all @param {string} to */
  function leadingTo(all, to) {
    const found = new Set([to]);
    for (const harder of found) for (const easier of all.easier.get(harder) || []) found.add(easier);
    return found;
  }

  /**
   * @param {any} library @param {Ways} all @param {string} from @param {string} to
   * @param {Map<string, string>} leftOut exercise -> why
   * @returns {{rungs: string[], sizes: (number | null)[], largest: number, days: number, ladder: any} |
   *   {message: string, leftOut: Map<string, string>}}
   */
  function route(library, all, from, to, leftOut) {
    if (leftOut.has(to)) return { message: `The goal itself: ${leftOut.get(to)}.`, leftOut: new Map() };
    const ladder = ladderOf(library, [from, to]);
    const own = new Map((ladder ? ladder.steps : []).filter((/** @type {number[]} */ step) => step.length > 2).map(
      (/** @type {number[]} */ [a, b, size]) => [ladder.rungs[a] + ">" + ladder.rungs[b], size]));
    // No way to the goal leaves these: most of a large library need not be looked at.
    const useful = leadingTo(all, to);
    /** @type {Sizes} */
    const sizes = new Map();
    const daysOf = new Map();
    for (const easier of useful) {
      if (leftOut.has(easier)) continue;
      /** @type {Map<string, number>} */
      const row = new Map();
      for (const [harder, general, days] of all.harder.get(easier) || []) {
        const key = easier + ">" + harder;
        const size = own.has(key) ? own.get(key) : general;
        if (size === null || !useful.has(harder) || leftOut.has(harder)) continue;
        row.set(harder, size);
        daysOf.set(key, days);
      }
      if (row.size) sizes.set(easier, row);
    }
    const rungs = smallestSteps(sizes, from, to);
    if (!rungs) {
      if (useful.has(from)) return { message: "Every way goes through an exercise that is left out.", leftOut };
      return { message: leadingTo(all, from).has(to) ? "It is the other way round: the goal is the easier one." : "No progressions lead there.", leftOut: new Map() };
    }
    const taken = rungs.slice(1).map((harder, i) => /** @type {number} */ (sizes.get(rungs[i])?.get(harder)));
    const days = rungs.slice(1).reduce((sum, harder, i) => sum + daysOf.get(rungs[i] + ">" + harder), 0);
    return { rungs, sizes: taken, largest: Math.max(0, ...taken), days: Math.ceil(days - ROUNDING), ladder };
  }

  rungbook.routes = { smallestSteps, ways, route, ladderOf, byCodePoints };
})();
