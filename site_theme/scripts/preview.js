// @ts-check
"use strict";
/**
 * Reloads the page when the library changes and shows what its checks found. The server adds
 * this script to the pages of a preview only; news arrives as scripts, so that the pages' policy
 * stays as strict as it is.
 */
(function () {
  /** @type {any} */
  const rungbook = (window.rungbook = window.rungbook || {});
  // The state that this page was made of; the script runs when another may be there already.
  const version = Number(document.currentScript?.dataset.version || 0);
  let shown = false;

  /** @param {{version: number, counts: Object<string, number>, findings: string[]} | null} built */
  rungbook.preview = function (built) {
    if (!built) return;
    if (built.version !== version) {
      rungbook.state.reload();
      return;
    }
    if (!shown) show(built);
    shown = true;
  };

  /** @param {{counts: Object<string, number>, findings: string[]}} built */
  function show(built) {
    if (!built.findings.length) return;
    const banner = document.createElement("details");
    banner.className = "banner preview-banner";
    const summary = document.createElement("summary");
    summary.textContent = `Preview: ${built.counts.error} errors, ${built.counts.warning} warnings`;
    const list = document.createElement("ul");
    for (const line of built.findings) {
      const item = document.createElement("li");
      item.textContent = line;
      list.append(item);
    }
    banner.append(summary, list);
    document.body.insertBefore(banner, document.querySelector("header"));
  }

  function ask() {
    const script = document.createElement("script");
    script.src = `/-preview/news.js?since=${shown ? version : 0}&at=${Date.now()}`;
    script.onload = function () {
      script.remove();
      ask();
    };
    script.onerror = function () {
      script.remove();
      setTimeout(ask, 2000);
    };
    document.head.append(script);
  }
  // Not before: the answer waits for news, and the page would wait with it.
  window.addEventListener("load", ask);
})();
