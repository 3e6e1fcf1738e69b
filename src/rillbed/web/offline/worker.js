/* Keeps what pages are made of, and the last copy of each page that was looked at. Sends nothing anywhere else. */
"use strict";
const PARTS = `rillbed-parts-${TOLD.version}`;
const PAGES = "rillbed-pages";
const MOST = 60, PATIENCE_MS = 6000, LONG_MS = 60000;

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const kept = await caches.open(PARTS);
    await kept.addAll([...TOLD.files, TOLD.offline]);
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) if (name.startsWith("rillbed-parts-") && name !== PARTS) await caches.delete(name);
    await self.clients.claim();
  })());
});

const keep = async (request, answer) => {
  const pages = await caches.open(PAGES);
  await pages.put(request, answer);
  const old = await pages.keys();
  for (const one of old.slice(0, Math.max(0, old.length - MOST))) await pages.delete(one);
};

// A slow server is not a lost one: where no copy is kept, there is nothing better to show and more time to wait.
const page = async (event) => {
  const kept = await caches.match(event.request, { ignoreVary: true });
  const late = new AbortController();
  const timer = setTimeout(() => late.abort(), kept ? PATIENCE_MS : LONG_MS);
  try {
    const answer = await fetch(event.request, { signal: late.signal });
    const fit = answer.status === 200 && !answer.redirected && (answer.headers.get("X-Rillbed-Keep") === "page");
    if (fit) event.waitUntil(keep(event.request, answer.clone()));
    return answer;
  } catch {
    return kept || (await caches.match(TOLD.offline));
  } finally {
    clearTimeout(timer);
  }
};

self.addEventListener("fetch", (event) => {
  const request = event.request, url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(event));
  else if (TOLD.files.includes(url.pathname)) {
    event.respondWith((async () => (await caches.match(request)) || fetch(request))());
  }
});
