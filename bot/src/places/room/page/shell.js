// The service worker: keeps the page's own parts, so that it opens where the network is gone. Nothing that was said is
// kept here; a page that is online always gets the parts as the room has them now.
const KEPT = "room-shell-2";
const PARTS = ["/", "/room.svg", "/room.webmanifest", "/room.js", "/card.js", "/line.js", "/words.js", "/pick.js", "/browse.js"];
const PATIENCE = 3000;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(KEPT).then((cache) => cache.addAll(PARTS)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  const old = (names) => Promise.all(names.filter((name) => name !== KEPT).map((name) => caches.delete(name)));
  event.waitUntil(caches.keys().then(old).then(() => self.clients.claim()));
});

async function part(request, path) {
  const cache = await caches.open(KEPT);
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(PATIENCE) });
    if (answer.ok) await cache.put(path, answer.clone());
    return answer;
  } catch (trouble) {
    const kept = await cache.match(path);
    if (kept) return kept;
    throw trouble;
  }
}

self.addEventListener("fetch", (event) => {
  const { pathname, origin } = new URL(event.request.url);
  if (event.request.method !== "GET" || origin !== self.location.origin || !PARTS.includes(pathname)) return;
  event.respondWith(part(event.request, pathname));
});
