// @ts-check
"use strict";
/**
 * What a page knows beyond its text. View, exercises and doses stand in the address's fragment,
 * `#exercise=heel-raise&sheet=heel-raise~left`, so that a copied address opens the same; everything
 * else is about the patient in the room and stays in this tab (see `tab.js`): no address, history
 * or storage ever gets it. A key is the tab's unless it is named in ADDRESS.
 *
 * Keys of SHARED go along with every link to another page of the site. A word without `=` is an anchor.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const SHARED = ["sheet", "place", "paper", "weeks", "language", "large", "limits", "keys"];
  const ADDRESS = new Set([...SHARED, "view", "exercise", "because", "irritability", "without", "not-in", "avoid", "area", "from", "to"]);
  /** Limits in force: an address that brings them is obeyed, and cleared of them. */
  const LIMITS = ["restriction", "max", "bearing", "kind-of-work"];
  const PERSON = ["mass", "stature", "body", "age", "capacity", "arc"];
  /** What is never taken from an address: a person's figures, and what would loosen an order. */
  const REFUSED = [...PERSON, "since", "lifted"];
  /** What somebody said in this tab: nobody else's address says it for them. */
  const OWN_WORDS = ["sure", "line", "order"];
  const LONGEST = 2000; // letters of one value: more is not what anybody entered
  /** @type {Array<() => void>} */
  const listeners = [];
  const tab = new URLSearchParams();
  let furthest = 0; // step that was done since the page opened
  /** Keys that an address brought and that were not taken. @type {Set<string>} */
  const refused = new Set();

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

  /** @param {string} key @param {string[]} values @param {URLSearchParams} place */
  function put(key, values, place) {
    place.delete(key);
    for (const value of values) place.append(key, value);
  }

  /** Keys and values that somebody may have entered. @param {string} given */
  function takeOver(given) {
    for (const [key, value] of new URLSearchParams(given)) {
      if (!ADDRESS.has(key) && value.length <= LONGEST) tab.append(key, value);
    }
  }

  /** Takes out of the address what does not belong there. @param {string} hash */
  function opened(hash) {
    const found = read(hash);
    for (const key of LIMITS) {
      if (found.values.has(key)) put(key, [...new Set([...tab.getAll(key), ...found.values.getAll(key)])], tab);
      found.values.delete(key);
    }
    for (const key of OWN_WORDS) found.values.delete(key);
    for (const key of REFUSED) {
      if (found.values.has(key)) refused.add(key);
      found.values.delete(key);
    }
    return found;
  }

  /** Where a key stands: what an address brought and nobody knows stays there until it is lifted. @param {string} key */
  const placeOfKey = (key) => (ADDRESS.has(key) || current.values.has(key) ? current.values : tab);

  /** Says in the address that limits are in force, not which: without them it is no longer the same question. */
  function mark() {
    if (LIMITS.some((key) => tab.has(key))) current.values.set("limits", "set");
  }

  /** @param {string} [did] what was done: a step of its own in the tab's history */
  function writeAddress(did) {
    const text = fragment(current.anchor, current.values);
    if (location.hash === (text ? "#" + text : "")) return;
    const address = text ? "#" + text : location.pathname + location.search;
    if (did) {
      furthest = state.undoable().step + 1;
      history.pushState({ step: furthest, did }, "", address);
    } else history.replaceState(history.state, "", address);
  }

  takeOver(rungbook.tab.taken());
  let current = opened(location.hash);
  mark();

  /** Pages that the browser keeps alive behind this one must not come back with another patient. */
  const channel = typeof BroadcastChannel === "function" ? new BroadcastChannel("rungbook") : null;
  if (channel) channel.onmessage = () => undefined; // one kept alive is let go when a message comes

  const state = {
    /** @param {string} key @returns {string | null} */
    get: (key) => placeOfKey(key).get(key),
    /** @param {string} key @returns {string[]} */
    all: (key) => placeOfKey(key).getAll(key),
    /** Keys of the address that a page does not know. @param {string[]} own those that it knows @returns {string[]} */
    unknown: (own) => [...new Set(current.values.keys())].filter((key) => !own.includes(key) && !SHARED.includes(key)),
    /** Keys of a person's figures. */
    PERSON,
    /** Keys about the patient that an address brought and that were not taken. @returns {string[]} */
    refused: () => [...refused],
    /** Whether the address says that limits were in force which this tab does not have. */
    limitsLost: () => current.values.has("limits") && !LIMITS.some((key) => tab.has(key)),
    /**
     * Sets keys; null, "" and [] take one out, an array gives several.
     * @param {Object<string, string | string[] | null>} changes
     * @param {string} [did] what was done in words: then going back undoes it
     */
    set(changes, did) {
      let ofTab = false;
      for (const [key, value] of Object.entries(changes)) {
        const items = (Array.isArray(value) ? value : value ? [value] : []).filter((one) => one.length <= LONGEST);
        const place = placeOfKey(key);
        put(key, items, place);
        ofTab = ofTab || place === tab;
        if (REFUSED.includes(key)) refused.clear();
        if (LIMITS.includes(key) && !LIMITS.some((one) => tab.has(one))) current.values.delete("limits");
      }
      mark();
      writeAddress(did);
      if (ofTab && channel) channel.postMessage("changed");
      listeners.forEach((listener) => listener());
    },
    /** Forgets everything about the patient. */
    forget() {
      state.set(Object.fromEntries([...tab.keys()].map((key) => [key, null])));
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
    /** How many steps of this page can be undone, what the last one did, and whether one was undone. @returns {{step: number, did: string, undone: boolean}} */
    undoable() {
      const { step, did } = history.state || {};
      return { step: Number(step) || 0, did: String(did || ""), undone: (Number(step) || 0) < furthest };
    },
    /** Opens this page again with what the tab holds. */
    reload() {
      rungbook.tab.handOver(location.href, tab.toString());
      location.reload();
    },
  };
  rungbook.state = state;
  writeAddress();

  /** @param {string} anchor */
  function placeOf(anchor) {
    try {
      return anchor ? document.getElementById(decodeURIComponent(anchor)) : null;
    } catch {
      return null; // a broken escape names nothing
    }
  }

  /** @param {string} anchor */
  function goTo(anchor) {
    const place = placeOf(anchor);
    if (!place) return;
    place.closest("details")?.setAttribute("open", "");
    place.scrollIntoView();
    if (!place.matches("a, button, input, select, textarea, summary, [tabindex]")) {
      place.setAttribute("tabindex", "-1");
    }
    place.focus({ preventScroll: true });
  }

  window.addEventListener("hashchange", () => {
    const next = opened(location.hash);
    const lost = next.anchor && [...next.values.keys()].length === 0;
    if (lost) next.values = current.values; // a plain in-page link keeps what was set
    current = next;
    mark();
    writeAddress();
    goTo(current.anchor);
    listeners.forEach((listener) => listener());
  });

  /** The link of this site that an event is about, if it is one. @param {Event} event */
  function ownLink(event) {
    const start = event.target instanceof Element ? event.target : null;
    const link = start && start.closest("a[href]");
    const href = (link && link.getAttribute("href")) || "";
    const foreign = !href || href.startsWith("#") || /^[a-z][a-z0-9+.-]*:/i.test(href) || /^[/\\]{2}/.test(href);
    return foreign ? null : /** @type {HTMLAnchorElement} */ (link);
  }

  /** Passes what is shared along, just before a link is followed. @param {Event} event */
  function passAlong(event) {
    const link = ownLink(event);
    if (!link) return;
    const href = link.getAttribute("href") || "";
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

  /** Hands over what the tab holds, to a page of this library that opens in this very tab. @param {MouseEvent} event */
  function handOver(event) {
    rungbook.tab.empty();
    const link = ownLink(event);
    const elsewhere = event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey;
    if (!link || elsewhere || event.defaultPrevented || link.hasAttribute("download")) return;
    if (link.target && link.target !== "_self") return;
    const top = new URL(rungbook.root() || ".", location.href.split("#")[0]).href;
    if (link.href.startsWith(top) && /\.html$|\/$/.test(link.pathname)) rungbook.tab.handOver(link.href, tab.toString());
  }

  for (const type of ["pointerdown", "focusin", "click", "contextmenu"]) {
    document.addEventListener(type, passAlong, true);
  }
  window.addEventListener("click", handOver); // last of all: somebody may have kept the link from being followed
  window.addEventListener("keydown", () => rungbook.tab.empty());
  document.addEventListener("DOMContentLoaded", () => {
    if (current.anchor && [...current.values.keys()].length) goTo(current.anchor);
  });
})();
