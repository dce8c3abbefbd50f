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
   * @property {Map<string, [string, number | null, number][]>} harder easier -> [harder, size on every axis but demand, days]
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
      put(found.harder, easier, [harder, edges.rest[at], edges.days[at]]);
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

  /** How high every exercise is by action, and on which scale. @typedef {{scale: any, moments: Map<string, Map<string, number>>}} OffLadder */

  /**
   * By what a question is measured that no ladder holds: what the harder end itself demands.
   * @param {any} library @param {any} graph @param {string} to
   * @returns {Promise<OffLadder | null>} null where demand is off, or nothing is known of the end
   */
  async function offLadder(library, graph, to) {
    const rules = rungbook.profiles.rules(library);
    const ratio = rungbook.profiles.limitsOf(library.limits).wide.get("demand");
    const record = await rungbook.load("exercise/" + to);
    const goal = rungbook.profiles.profiles(record.profiles).get(to);
    if (ratio === undefined || !goal) return null;
    const scale = rungbook.steps.scaleFor(goal, ratio, rules);
    const moments = new Map(await Promise.all([...scale.standards.keys()].map(async (action) => {
      const known = await rungbook.load("moments/" + library.worked.indexOf(action));
      const found = graph.exercises.map((/** @type {any[]} */ row, /** @type {number} */ i) => [row[0], known[i]]);
      return /** @type {[string, Map<string, number>]} */ ([action, new Map(found.filter((/** @type {any[]} */ [, nm]) => nm !== null))]);
    })));
    return { scale, moments };
  }

  /** The size of a step by the harder end's own scale. @param {number} rest @param {string} easier @param {string} harder @param {OffLadder | null} off */
  function sizeOff(rest, easier, harder, off) {
    let size = rest;
    for (const [action, moments] of off ? off.moments : []) {
      const [a, b] = [moments.get(easier), moments.get(harder)];
      if (!off || a === undefined || b === undefined) continue;
      const [standard, ratio] = [off.scale.standards.get(action), off.scale.ratio];
      const rise = rungbook.steps.height(standard, ratio, b) - rungbook.steps.height(standard, ratio, a);
      size = Math.max(size, Math.round(rise * 1e9) / 1e9);
    }
    return size;
  }

  /**
   * @param {any} library @param {Ways} all @param {string} from @param {string} to
   * @param {Map<string, string>} leftOut exercise -> why
   * @param {OffLadder | null} off what measures where no ladder holds both
   * @returns {{rungs: string[], sizes: number[], largest: number, days: number, ladder: any} |
   *   {message: string, leftOut: Map<string, string>}}
   */
  function route(library, all, from, to, leftOut, off) {
    if (leftOut.has(to)) return { message: `The goal itself: ${leftOut.get(to)}.`, leftOut: new Map() };
    const ladder = ladderOf(library, [from, to]);
    const own = new Map((ladder ? ladder.steps : []).map(
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
      for (const [harder, rest, days] of all.harder.get(easier) || []) {
        const key = easier + ">" + harder;
        if (rest === null || !useful.has(harder) || leftOut.has(harder) || (ladder && !own.has(key))) continue;
        row.set(harder, ladder ? own.get(key) : sizeOff(rest, easier, harder, off));
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

  /**
   * Where a flare-up leads back to, by what its rule says: as `ladder/flare_up.py`.
   * @param {any} library @param {Ways} all @param {string} from @param {string} to
   * @param {string | null} back same rung, one rung, entry
   * @param {Map<string, string>} leftOut @param {OffLadder | null} off
   */
  function backTo(library, all, from, to, back, leftOut, off) {
    const ladder = ladderOf(library, [from, to]) || ladderOf(library, [from]);
    if (back === "entry" && ladder) {
      const entry = ladder.entries.map((/** @type {string[]} */ pair) => pair[1]).find((/** @type {string} */ id) => ladder.rungs.includes(id));
      return entry || ladder.rungs[0];
    }
    if (back !== "one rung") return from;
    const own = new Map(ladder && ladderOf(library, [from, to]) ? ladder.steps.map(
      (/** @type {number[]} */ [a, b, size]) => [ladder.rungs[a] + ">" + ladder.rungs[b], size]) : []);
    const easier = (all.easier.get(from) || []).filter((id) => id !== from && !leftOut.has(id)).map((id) => {
      const edge = /** @type {any[]} */ ((all.harder.get(id) || []).find(([harder]) => harder === from));
      const size = own.has(id + ">" + from) ? own.get(id + ">" + from) : edge[1] === null ? Infinity : sizeOff(edge[1], id, from, off);
      return { id, size, away: !(ladder && ladder.rungs.includes(id)) };
    });
    easier.sort((a, b) => Number(a.away) - Number(b.away) || a.size - b.size || byCodePoints(a.id, b.id));
    return easier.length ? easier[0].id : from;
  }

  /** How many progressions lead from every easier exercise up to one, the fewest. @param {Ways} all @param {string} id */
  function rungsBelow(all, id) {
    const below = new Map([[id, 0]]);
    const waiting = [id];
    for (let at = 0; at < waiting.length; at += 1) {
      for (const easier of all.easier.get(waiting[at]) || []) {
        if (below.has(easier)) continue;
        below.set(easier, /** @type {number} */ (below.get(waiting[at])) + 1);
        waiting.push(easier);
      }
    }
    below.delete(id);
    return below;
  }

  /** An exercise and everything harder that follows from it. @param {Ways} all @param {string} id */
  function rungsAbove(all, id) {
    const above = new Set([id]);
    for (const one of above) for (const [harder] of all.harder.get(one) || []) above.add(harder);
    return above;
  }

  rungbook.routes = { smallestSteps, ways, route, offLadder, backTo, ladderOf, byCodePoints, rungsBelow, rungsAbove };
})();
