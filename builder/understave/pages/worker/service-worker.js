/* Keeps visited pages for reading without a connection. Pages come from the network first, so that nobody is held at
   an old one; assets whose names carry a hash never change and come from the cache first. */

const PAGES = "pages";
const ASSETS = "assets";
const MOST_PAGES = 200;
const MOST_BUILDS = 3;
const HASHED = /\/assets\/(understave-[0-9a-f]{12}\/|.+\.[0-9a-f]{8}\.min\.)/;
const OURS = /\/assets\/understave-[0-9a-f]{12}\//;

const escaped = (text) => text.replace(/[&<>]/g, (sign) => `&#${sign.charCodeAt(0)};`);

function missing() {
  const page = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">` +
    `<title>${escaped(SITE.title)}</title><p>${escaped(SITE.sentence)}</p></html>`;
  return new Response(page, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8" } });
}

async function keep(cache, request, response) {
  if (response.ok && response.type === "basic" && !response.redirected) await cache.put(request, response);
}

/** Drops the pages that were visited longest ago. */
async function trim(cache) {
  const kept = await cache.keys();
  await Promise.all(kept.slice(0, Math.max(0, kept.length - MOST_PAGES)).map((request) => cache.delete(request)));
}

async function fromNetworkFirst(event) {
  const cache = await caches.open(PAGES);
  const request = event.request;
  try {
    const response = await fetch(fresh(request));
    const copy = response.clone();
    event.waitUntil(cache.delete(request, { ignoreSearch: true }).then(() => keep(cache, bare(request), copy)).then(() => trim(cache)));
    return response;
  } catch {
    return (await cache.match(request, { ignoreSearch: true })) ?? (request.mode === "navigate" ? missing() : Response.error());
  }
}

/** The request as one that asks the server whether its answer still holds, whatever the browser remembers. */
function fresh(request) {
  const { mode, url } = request;
  return mode === "navigate" ? new Request(url, { cache: "no-cache", redirect: "manual" }) : new Request(request, { cache: "no-cache" });
}

/** The request without what stands behind "?": a page is the same page whatever it was asked. */
function bare(request) {
  const address = new URL(request.url);
  address.search = "";
  return new Request(address.href);
}

async function fromCacheFirst(event) {
  const cache = await caches.open(ASSETS);
  const kept = await cache.match(event.request);
  if (kept) return kept;
  const response = await fetch(event.request);
  event.waitUntil(keep(cache, event.request, response.clone()));
  return response;
}

/** Drops the assets of old builds; those of the last few stay, since kept pages may need them. */
async function forget() {
  const cache = await caches.open(ASSETS);
  const kept = await cache.keys();
  const folders = [...new Set(kept.flatMap(({ url }) => OURS.exec(url)?.[0] ?? []))];
  const old = folders.slice(0, Math.max(0, folders.length - MOST_BUILDS));
  await Promise.all(kept.filter(({ url }) => old.some((folder) => url.includes(folder))).map((request) => cache.delete(request)));
}

/** Keeps what a page has loaded before the worker was there. */
async function keepAll(urls) {
  const within = urls.filter((url) => url.startsWith(self.registration.scope));
  await Promise.all(within.map(async (url) => {
    const request = bare({ url });
    const cache = await caches.open(HASHED.test(url) ? ASSETS : PAGES);
    await keep(cache, request, await fetch(request));
  }));
}

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(forget().then(() => self.clients.claim())));
self.addEventListener("message", (event) => event.waitUntil(keepAll(event.data)));
self.addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  if (method !== "GET" || !url.startsWith(self.registration.scope)) return;
  event.respondWith(HASHED.test(url) ? fromCacheFirst(event) : fromNetworkFirst(event));
});
