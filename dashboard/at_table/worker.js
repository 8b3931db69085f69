// Lets the page open where there is no network. Browsers run this only for pages that came through TLS, or from this
// very machine; without it everything else works all the same.

const KEPT = "halflong-table";
const PATIENCE_MS = 3000;
const STALLED_FOR_MS = 15_000;

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(clients.claim()));

addEventListener("fetch", (event) => {
  const { pathname } = new URL(event.request.url);
  const isOfThePage = pathname === "/table" || /^\/table\/\w+\.(js|css)$/.test(pathname) || pathname.endsWith(".woff2");
  if (event.request.method === "GET" && isOfThePage) event.respondWith(newOrKept(event.request));
});

let stalledAt = 0;

/** What the network gives; what it gave last, where it gives nothing or stalls. */
async function newOrKept(request) {
  // A code on paper names a block in the address: the page is the same.
  const address = request.url.split("?")[0];
  const asked = fetch(request).then(async (response) => {
    if (response.ok) await (await caches.open(KEPT)).put(address, response.clone());
    stalledAt = 0;
    return response;
  });
  const kept = await caches.match(address);
  if (!kept) return asked;
  const orKept = asked.catch(() => kept);
  // The page comes in several files: only the first of them waits for a network that stalls.
  if (Date.now() - stalledAt < STALLED_FOR_MS) return kept;
  let timer;
  const stalled = new Promise((resolve) => {
    timer = setTimeout(() => {
      stalledAt = Date.now();
      resolve(kept);
    }, PATIENCE_MS);
  });
  return Promise.race([orKept, stalled]).finally(() => clearTimeout(timer));
}
