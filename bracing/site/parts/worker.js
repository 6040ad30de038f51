"use strict";
// Pages of walls that were open once open again without a signal; each says of when it is.
const KEPT = "bracing-1";
const wanted = (url) => url.origin === location.origin && (url.pathname === "/" || /^\/(w\/|picture\/|page\.(css|js)$)/.test(url.pathname));

self.addEventListener("activate", (event) => event.waitUntil(clients.claim()));
self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || !wanted(url)) return;
  event.respondWith((async () => {
    const cache = await caches.open(KEPT);
    try {
      const answer = await fetch(event.request);
      if (answer.ok && !answer.redirected && !answer.headers.has("Refresh")) await cache.put(event.request, answer.clone());
      if (answer.status === 403) await caches.delete(KEPT);
      return answer;
    } catch (error) {
      const before = await cache.match(event.request, { ignoreSearch: true });
      if (before) return before;
      throw error;
    }
  })());
});
