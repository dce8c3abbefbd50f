// @ts-check
"use strict";
/**
 * Elements built from plain values, never from markup.
 *
 * A node is a text or `[tag, {attribute: value}, child, …]`, as `site/node_tree.py` writes it.
 * @typedef {string | [string, Object<string, string>, ...any]} TreeNode
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  const SVG = "http://www.w3.org/2000/svg";
  const HTML_TAGS = new Set(
    ("a p br hr em strong code pre blockquote ul ol li table thead tbody tr th td " +
      "h2 h3 h4 h5 h6 div span").split(" "),
  );
  const SVG_TAGS = new Set(
    ("svg g path line polyline polygon circle ellipse rect text tspan title desc defs marker " +
      "clipPath pattern symbol use").split(" "),
  );
  const SAFE_LINK = /^(https?:|mailto:|tel:|#|[^:]*$)/i;

  /**
   * An HTML element. `class`, `for`, … are attributes; true sets a bare one; null and false
   * leave it out. Children are nodes or texts; null is left out.
   * @param {string} tag
   * @param {Object<string, any>} [attributes]
   * @param {...(Node | string | null | undefined)} children
   * @returns {HTMLElement}
   */
  rungbook.element = function (tag, attributes, ...children) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes || {})) {
      if (value === null || value === undefined || value === false) continue;
      made.setAttribute(name, value === true ? "" : String(value));
    }
    for (const child of children) {
      if (child !== null && child !== undefined) made.append(child);
    }
    return made;
  };

  /**
   * Builds a tree of the data files; unknown tags, handlers, styles and odd links are left out.
   * @param {TreeNode} node
   * @param {boolean} [insideSvg]
   * @returns {Node}
   */
  rungbook.build = function (node, insideSvg) {
    if (typeof node === "string") return document.createTextNode(node);
    const [tag, attributes, ...children] = node;
    const svg = insideSvg || tag === "svg";
    if (!(svg ? SVG_TAGS : HTML_TAGS).has(tag)) return document.createDocumentFragment();
    const made = svg ? document.createElementNS(SVG, tag) : document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (/^on|^style$/i.test(name)) continue;
      if (/^href$|^xlink:href$/i.test(name) && !SAFE_LINK.test(value)) continue;
      made.setAttribute(name, value);
    }
    for (const child of children) made.append(rungbook.build(child, svg));
    return made;
  };

  /**
   * Replaces what an element holds.
   * @param {Element} place
   * @param {...(Node | string)} children
   */
  rungbook.fill = function (place, ...children) {
    place.replaceChildren(...children);
  };
})();
