/*
 * Keeps the whole library on this device, so that it opens without a network. FILES (what to keep
 * and what each is told by) and VERSION stand above. One version is served whole: a new one is
 * fetched beside it, and takes its place when the reader asks for it or all pages are closed.
 * Only files of the site are kept, by their own names: nothing of what a page's address or its
 * reader adds.
 */
const SCOPE = new URL(self.registration.scope);
const KEPT = `rungbook ${SCOPE.pathname} `;
const NAME = KEPT + VERSION;
const LIST = "kept-files.json";
const AT_ONCE = 6;

/** @param {string} path */
const address = (path) => new URL(path.split("/").map(encodeURIComponent).join("/"), SCOPE).href;

/** Earlier versions, each with its list. */
async function earlier() {
  const found = [];
  for (const name of await caches.keys()) {
    if (!name.startsWith(KEPT) || name === NAME) continue;
    const cache = await caches.open(name);
    const list = await cache.match(address(LIST));
    if (list) found.push({ cache, files: new Map(await list.json()) });
  }
  return found;
}

/** What an earlier version has of a file that is the same, or the network's. */
async function file(path, before) {
  for (const { cache, files } of before) {
    const same = files.get(path) === FILES.get(path) && (await cache.match(address(path)));
    if (same) return same;
  }
  const answer = await fetch(address(path), { cache: "no-cache" });
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  // A page may not be answered by what came over another address.
  return answer.redirected ? new Response(await answer.blob(), { headers: answer.headers }) : answer;
}

/** All of it, or the version is not taken. */
async function keep() {
  const cache = await caches.open(NAME);
  const before = await earlier();
  const waiting = [...FILES.keys()];
  const some = async () => {
    for (let path = waiting.pop(); path; path = waiting.pop()) {
      if (!(await cache.match(address(path)))) await cache.put(address(path), await file(path, before));
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, some));
  await cache.put(address(LIST), new Response(JSON.stringify([...FILES])));
}

async function forgetEarlier() {
  for (const name of await caches.keys()) if (name.startsWith(KEPT) && name !== NAME) await caches.delete(name);
}

/** @param {Request} request @param {URL} url */
async function answer(request, url) {
  const path = decodeURIComponent(url.pathname.slice(SCOPE.pathname.length));
  const cache = await caches.open(NAME);
  // Some servers leave out what a page's name ends with.
  for (const name of [path, `${path}.html`, `${path.replace(/\/$/, "")}${path ? "/" : ""}index.html`]) {
    const kept = FILES.has(name) && (await cache.match(address(name)));
    if (kept) return kept;
  }
  try {
    return await fetch(request);
  } catch {
    const missing = request.mode === "navigate" && (await cache.match(address("404.html")));
    return missing || Response.error();
  }
}

self.addEventListener("install", (event) => event.waitUntil(keep()));
self.addEventListener("activate", (event) => event.waitUntil(forgetEarlier()));
self.addEventListener("message", (event) => {
  if (event.data === "show the new one") self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const ours = url.origin === SCOPE.origin && url.pathname.startsWith(SCOPE.pathname);
  if (event.request.method === "GET" && ours) event.respondWith(answer(event.request, url));
});
