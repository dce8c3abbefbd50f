// @ts-check
"use strict";
/**
 * Over http(s) the library is kept on the device after one visit, by `worker.js`: then it opens
 * without a network, and says quietly when there is a newer one. From the disk nothing changes.
 */
(function () {
  /** @type {any} */
  const rungbook = window.rungbook;
  const AFTER_MS = 2500; // the page that was asked for comes first

  function start() {
    if (!document.body.hasAttribute("data-kept") || !/^https?:$/.test(location.protocol)) return;
    const root = new URL(rungbook.root() || ".", location.href);
    document.head.append(rungbook.element("link", { rel: "manifest", href: new URL("library.webmanifest", root).href }));
    const worker = navigator.serviceWorker;
    if (worker) window.setTimeout(() => void register(worker, root), AFTER_MS);
  }

  /** @param {ServiceWorkerContainer} worker @param {URL} root */
  async function register(worker, root) {
    const status = rungbook.element("p", { class: "kept-status screen-only", role: "status" });
    document.querySelector(".colophon")?.append(status);
    /** @type {ServiceWorkerRegistration} */
    let registration;
    try {
      registration = await worker.register(new URL("worker.js", root).href, { scope: root.pathname, updateViaCache: "none" });
    } catch {
      return; // private windows and some settings allow none: the site works as before
    }
    const told = () => tell(worker, registration, status);
    registration.addEventListener("updatefound", () => {
      registration.installing?.addEventListener("statechange", told);
    });
    registration.installing?.addEventListener("statechange", told);
    told();
  }

  /** @param {ServiceWorkerContainer} worker @param {ServiceWorkerRegistration} registration @param {HTMLElement} status */
  function tell(worker, registration, status) {
    const newer = registration.waiting;
    if (newer && registration.active) {
      const show = rungbook.element("button", { type: "button", class: "quiet-act" }, "Show it");
      show.addEventListener("click", () => {
        worker.addEventListener("controllerchange", () => location.reload(), { once: true });
        newer.postMessage("show the new one");
      });
      rungbook.fill(status, "There is a newer library. ", show, " What was entered about a patient is lost by that.");
    } else if (registration.active) {
      status.textContent = "The whole library is kept on this device: it opens without a network.";
    }
  }

  document.addEventListener("DOMContentLoaded", start);
})();
