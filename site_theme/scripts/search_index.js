// @ts-check
"use strict";
/**
 * What a query finds: every word of it begins a word of the entry, or stands for words that do.
 * Terms and what they stand for are data; a word that nothing begins with is taken for the nearest
 * one, abbreviations never.
 *
 * @typedef {Object} Entry
 * @property {string} href
 * @property {string} title
 * @property {string} about
 * @property {boolean} pictured
 * @property {number} order a ladder before its rungs, an exercise before its variations
 * @property {string} titleWords " heel raise " with a space around each word
 * @property {string[]} nameWords
 * @property {string[]} tight title and other names in one word each
 * @property {number[]} near numbers of shared texts
 * @property {number[]} far
 *
 * @typedef {Object} Index
 * @property {Entry[]} entries
 * @property {string[]} texts what entries share, each as `titleWords`
 * @property {Map<string, string[]>} meanings
 * @property {Set<string>} words every word that is found
 * @property {Set<string>} terms every word of a term that has a meaning
 *
 * @typedef {{found: Entry[], took: string | null, unknown: string[], meant: [string, string][], terms: number}} Answer
 * @typedef {{words: string[], whole: string, hits: Set<number>[], wholeHits: Set<number>}} Phrase
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const IN_TITLE = 8, IN_NAME = 6, NEAR = 3, FAR = 1, MEANT = 1.5;
  const LONGEST_TERM = 5; // words
  const SMALL = new Set("a an and at by for from in of on or the to with exercise exercises".split(" "));
  const KINDS = /** @type {[string, string][]} */ ([["ladders/", "Ladder"], ["areas/", "Area"]]);

  /** Lower case, without accents, other signs as spaces. @param {string} text */
  function plain(text) {
    return text
      .normalize("NFD")
      .replace(/[\u0300-\u036f]/g, "")
      .toLowerCase()
      .replace(/[^\p{L}\p{N}]+/gu, " ")
      .trim();
  }

  /** A text's words, "push-up" as "push", "up" and "pushup". @param {string} text */
  function searchable(text) {
    const joined = text.match(/\p{L}+(?:-\p{L}+)+/gu) || [];
    return ` ${plain([text, ...joined.map((one) => one.replace(/-/g, ""))].join(" "))} `;
  }

  /** @param {any} data as `search_data.py` writes it @returns {Index} */
  function index(data) {
    const unpictured = new Set(data.unpictured);
    const variations = new Set(data.variations);
    const texts = data.texts.map(searchable);
    const entries = data.rows.map((/** @type {any[]} */ [path, title, area, names, near, far], /** @type {number} */ row) => {
      const href = path.includes("/") ? path : "exercises/" + path;
      const kind = KINDS.find(([folder]) => href.startsWith(folder));
      const place = area >= 0 ? [area] : [];
      return {
        href: href + ".html",
        title,
        about: [kind ? kind[1] : "", ...place.map((number) => data.texts[number]), ...(names || [])].filter(Boolean).join(" · "),
        pictured: !kind && !unpictured.has(row),
        order: kind && kind[1] === "Ladder" ? 0 : variations.has(row) ? 2 : 1,
        titleWords: searchable(title),
        tight: [title, ...(names || [])].map((name) => plain(name).replace(/ /g, "")),
        nameWords: (names || []).map(searchable),
        near: [...place, ...(near || [])],
        far: far || [],
      };
    });
    const meanings = new Map(data.meanings.map((/** @type {[string, string[]]} */ [term, means]) => [plain(term), means.map(plain)]));
    const words = new Set(texts.join(" ").split(" "));
    for (const entry of entries) for (const word of [entry.titleWords, ...entry.nameWords].join(" ").split(" ")) words.add(word);
    words.delete("");
    return { entries, texts, meanings, words, terms: new Set([...meanings.keys()].join(" ").split(" ")) };
  }

  /** Without the sign of the plural. @param {string} word */
  function stem(word) {
    return word.length > 2 && /[^s]s$/.test(word) ? word.slice(0, -1) : word;
  }

  /** Letters to change, add, drop or swap; gives up above `most`. @param {string} a @param {string} b @param {number} most */
  function distance(a, b, most) {
    if (Math.abs(a.length - b.length) > most) return most + 1;
    /** @type {number[]} */
    let before = [];
    let row = Array.from({ length: b.length + 1 }, (_, j) => j);
    for (let i = 1; i <= a.length; i += 1) {
      const next = [i];
      for (let j = 1; j <= b.length; j += 1) {
        let cost = Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1));
        if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) cost = Math.min(cost, before[j - 2] + 1);
        next[j] = cost;
      }
      if (Math.min(...next) > most) return most + 1;
      before = row;
      row = next;
    }
    return row[b.length];
  }

  /** @param {Index} known @param {string} word */
  function isKnown(known, word) {
    const start = stem(word);
    for (const words of [known.words, known.terms]) for (const one of words) if (one.startsWith(start)) return true;
    return false;
  }

  /** The nearest word to one that nothing begins with, or null. @param {Index} known @param {string} word */
  function nearest(known, word) {
    if (word.length < 4) return null;
    let best = null;
    let least = Math.max(1, Math.floor(word.length / 3)) + 1;
    for (const words of [known.words, known.terms]) {
      for (const one of words) {
        for (const part of one.length > word.length ? [one, one.slice(0, word.length)] : [one]) {
          const far = distance(word, part, Math.ceil(least)) + (part === one ? 0 : 0.5);
          if (far < least) {
            least = far;
            best = one;
          }
        }
      }
    }
    return best;
  }

  /**
   * @param {Index} known @param {string} text
   * @param {boolean} [whole] only whole words: "quads" is no beginning of "quadruped"
   * @returns {Phrase}
   */
  function phrase(known, text, whole) {
    const words = text.split(" ").map((word) => (whole ? ` ${word} ` : " " + stem(word)));
    const having = (/** @type {string} */ part) =>
      new Set(known.texts.flatMap((one, number) => (one.includes(part) ? [number] : [])));
    return { words, whole: " " + text, hits: words.map(having), wholeHits: having(" " + text) };
  }

  /** How well an entry has all words of a phrase; 0 where it lacks one. @param {Entry} entry @param {Phrase} asked */
  function rank(entry, asked) {
    let least = IN_TITLE;
    for (const [n, word] of asked.words.entries()) {
      const has = (/** @type {number} */ number) => asked.hits[n].has(number);
      const level = entry.titleWords.includes(word) ? IN_TITLE
        : entry.nameWords.some((name) => name.includes(word)) ? IN_NAME
        : entry.near.some(has) ? NEAR
        : entry.far.some(has) ? FAR : 0;
      if (!level) return 0;
      least = Math.min(least, level);
    }
    const together = entry.titleWords.includes(asked.whole) || entry.nameWords.some((name) => name.includes(asked.whole)) ||
      entry.near.some((number) => asked.wholeHits.has(number));
    return least + (together ? 2 : 0);
  }

  /** The query's terms in turn, the longest first: what was typed, and what it stands for. @param {Index} known @param {string[]} words */
  function terms(known, words) {
    const found = [];
    for (let at = 0; at < words.length; ) {
      let length = Math.min(LONGEST_TERM, words.length - at);
      const typed = () => words.slice(at, at + length).join(" ");
      const means = () => known.meanings.get(typed()) || known.meanings.get(stem(typed()));
      while (length > 1 && !means()) length -= 1;
      if (means() || words.length === 1 || !SMALL.has(typed())) {
        found.push({ typed: typed(), direct: phrase(known, typed(), Boolean(means())), means: (means() || []).map((one) => phrase(known, one, true)), found: false });
      }
      at += length;
    }
    return found;
  }

  /**
   * The best entries for a query. `took` is the query with the words that were taken for unknown
   * ones, `unknown` those that nothing is near to, `meant` the terms found by their meaning only.
   * @param {Index} known @param {string} query @param {(entry: Entry) => boolean} [only]
   * @returns {Answer}
   */
  function ask(known, query, only) {
    const typed = plain(query).split(" ").filter(Boolean);
    const short = new Set((query.match(/\b\p{Lu}{2,5}\b/gu) || []).map(plain));
    const words = typed.map((word) => (isKnown(known, word) ? word : short.has(word) ? null : nearest(known, word)));
    const unknown = typed.filter((_, n) => words[n] === null);
    if (!typed.length || unknown.length) return { found: [], took: null, unknown, meant: [], terms: 0 };
    const whole = words.join(" ");
    const asked = terms(known, /** @type {string[]} */ (words));
    /** @type {[number, Entry][]} */
    const found = [];
    for (const entry of known.entries) {
      if (only && !only(entry)) continue;
      let score = 0;
      for (const term of asked) {
        const direct = rank(entry, term.direct);
        const best = term.means.reduce((most, one) => Math.max(most, rank(entry, one) - MEANT), direct);
        term.found = term.found || direct > 0;
        score = best > 0 && score >= 0 ? score + best : -1;
      }
      if (score > 0) found.push([score + exact(entry, whole), entry]);
    }
    found.sort((a, b) => b[0] - a[0] || a[1].order - b[1].order || a[1].title.length - b[1].title.length || (a[1].href < b[1].href ? -1 : 1));
    const meant = asked.filter((term) => term.means.length && !term.found);
    return {
      found: found.map(([, entry]) => entry),
      took: whole === typed.join(" ") ? null : whole,
      unknown: [],
      terms: asked.length,
      meant: meant.map((term) => [term.typed, term.means.map((one) => one.whole.trim()).join(", ")]),
    };
  }

  /** Who types a title or another name wants that one. @param {Entry} entry @param {string} whole */
  function exact(entry, whole) {
    if (entry.tight.includes(whole.replace(/ /g, ""))) return 6;
    return entry.titleWords.startsWith(" " + whole) ? 3 : 0;
  }

  /** What to say of an answer, and what to try after none. @param {Answer} answer @param {string} counted */
  function words(answer, counted) {
    const names = answer.unknown.map((word) => `“${word}”`).join(" and ");
    const took = answer.took ? `Taken as “${answer.took}”: ` : "";
    const meant = answer.meant.map(([typed, means]) => `“${typed}” stands for ${means}. `).join("");
    if (answer.found.length) return meant + took + counted;
    const nothing = names ? `Nothing here has the word ${names}. ` : answer.terms > 1 ? "Nothing here has all of these words: leave one out. " : "Nothing here has it. ";
    return `${meant}${nothing}Try the muscle, the joint or the equipment.`;
  }

  rungbook.search = { index, ask, words };
})();
