// @ts-check
"use strict";
/**
 * What a question asks beyond its exercises: what each limit is called, which are in force, and
 * which of them this library does not know. An address outlives a renaming: a limit that cannot be
 * read is named and nothing is answered until it is lifted, since it may be a surgeon's order.
 *
 * @typedef {{key: string, value: string | null, words: string}} Unread a part of a question; no value where the key itself is unknown
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const ONCE = ["exercise", "from", "to", "irritability", "bearing", "since"];
  const WHOLE = new Set(["bearing", "kind-of-work", "area"]); // limits that are lifted as one
  const MOST_ANGLE = 360;
  const IN_FORCE = ["restriction", "max", "bearing", "kind-of-work"];
  let lifted = false;
  /** @type {Map<string, string>} */
  const NAMES = new Map([
    ["without", "Equipment"], ["not-in", "Position"], ["avoid", "Caution"], ["restriction", "Restriction"],
    ["lifted", "Restriction"], ["area", "Area"], ["kind-of-work", "Kind of work"], ["max", "Angle limit"],
    ["bearing", "Weight bearing"], ["since", "Weeks since the operation"], ["because", "Reason"],
    ["irritability", "Irritability"], ["exercise", "Exercise"], ["from", "From"], ["to", "To"],
  ]);

  /** @param {string} text */
  const share = (text) => /^\d+(\.\d+)?$/.test(text) && Number(text) <= 100;

  /** Whether the library knows a value of a key. @param {any} library @returns {Map<string, (value: string) => boolean>} */
  function readers(library) {
    const among = (/** @type {any[][]} */ pairs) => {
      const keys = new Set(pairs.map((pair) => pair[0]));
      return (/** @type {string} */ value) => keys.has(value);
    };
    return new Map([
      ["without", among(library.equipment)], ["not-in", among(library.positions)], ["avoid", among(library.cautions)],
      ["restriction", among(library.restrictions)], ["lifted", among(library.restrictions)], ["area", among(library.areas)],
      ["irritability", among(library.atOnce)],
      ["kind-of-work", (/** @type {string} */ value) => library.kindsOfWork.includes(value)],
      ["because", (/** @type {string} */ value) => rungbook.easier.REASONS.has(value)],
      ["bearing", share],
      ["since", (/** @type {string} */ value) => rungbook.filters.weeks(value) !== null],
      ["max", (/** @type {string} */ value) => {
        const limit = rungbook.filters.limit(value, library);
        return limit !== null && Math.abs(limit.most) <= MOST_ANGLE;
      }],
    ]);
  }

  /**
   * What of a question cannot be read.
   * @param {any} library @param {string[]} keys those that the page understands
   * @returns {Unread[]}
   */
  function unread(library, keys) {
    const { state } = rungbook;
    const known = readers(library);
    /** @type {Unread[]} */
    const found = state.unknown(keys).map((/** @type {string} */ key) => ({ key, value: null,
      words: `“${key}=${state.all(key).join(", ")}” in the address is nothing this page knows.` }));
    for (const key of keys) {
      const values = state.all(key);
      if (values.length > 1 && ONCE.includes(key)) {
        found.push({ key, value: null, words: `${NAMES.get(key)} is given twice: ${values.join(" and ")}.` });
        continue;
      }
      const reads = known.get(key);
      for (const value of reads ? values : []) {
        if (!reads(value)) found.push({ key, value, words: `${NAMES.get(key)} “${value}” is not known in this library.` });
      }
    }
    if (state.limitsLost()) {
      found.push({ key: "limits", value: null, words: "Limits were in force here (an order, an angle, weight bearing or kinds of work). " +
        "They are kept in no address: enter them again above, or lift this if there are none." });
    }
    return found;
  }

  /**
   * The notice with what cannot be read, each part with a button that lifts it.
   * @param {Unread[]} parts
   */
  function notice(parts) {
    const el = rungbook.element;
    const items = parts.map(({ key, value, words }) => {
      const button = el("button", { type: "button", class: "quiet-act", "aria-label": `Lift: ${words}` }, "Lift");
      button.addEventListener("click", () => {
        lifted = true;
        lift(key, value);
      });
      return el("li", {}, words, " ", button);
    });
    return el("div", { class: "not-known" },
      el("p", {}, "It may have another name by now, and it may be an order for this patient: look it up before you lift it."),
      el("ul", {}, ...items));
  }

  /** After a press that lifted something the button is gone: the next one, or what came up. @param {HTMLElement} place @param {HTMLElement} heading */
  function focusAfterLift(place, heading) {
    if (!lifted) return;
    lifted = false;
    heading.tabIndex = -1;
    const next = /** @type {HTMLElement | null} */ (place.querySelector(".not-known button"));
    (next || heading).focus();
  }

  /** The limits in force in this tab, with what they are called. @param {any} library @returns {{key: string, value: string, title: string}[]} */
  function inForce(library) {
    return IN_FORCE.flatMap((key) => rungbook.state.all(key).map((/** @type {string} */ value) =>
      ({ key, value, title: title(library, key, key === "bearing" ? String(Number(value) / 100) : value) })));
  }

  /** Takes a value, or the whole key, out of the question. @param {string} key @param {string | null} value */
  function lift(key, value) {
    const { state } = rungbook;
    const rest = value === null || WHOLE.has(key) ? [] : state.all(key).filter((/** @type {string} */ other) => other !== value);
    state.set({ [key]: rest });
  }

  /** What a limit is called. @param {any} library @param {string} key @param {string} value */
  function title(library, key, value) {
    const called = (/** @type {any[][]} */ pairs, /** @type {string} */ one) => rungbook.filters.titleOf(pairs, one);
    if (key === "without") return `Without ${called(library.equipment, value).toLowerCase()}`;
    if (key === "not-in") return `Not ${called(library.positions, value).toLowerCase()}`;
    if (key === "avoid") return `Avoiding the caution ${called(library.cautions, value).toLowerCase()}`;
    if (key === "restriction") return `Restriction ${called(library.restrictions, value)}`;
    if (key === "area") return `Only ${value.split(" ").map((one) => called(library.areas, one).toLowerCase()).join(", ")}`;
    if (key === "load") return "Load not known";
    if (key === "one-leg") return "Lowering body weight on one leg";
    if (key === "too-large") return `A step too large in ${rungbook.answers.axisTitle(value)}`;
    if (key === "kind-of-work") return `Only ${value.replace(/ /g, ", ")} work`;
    if (key === "max") return `Limit ${value.replace("=", " no more than ").replace(/-/g, " ")}°`;
    return `Weight bearing up to ${rungbook.answers.percent(Number(value))}`;
  }

  rungbook.asked = { unread, notice, focusAfterLift, inForce, lift, title, WHOLE, share };
})();
