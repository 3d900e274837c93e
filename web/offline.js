// Keeps the page in the browser, so that it starts and works without a
// connection, and so that one visit never mixes the files of two versions.
//
// shelf.js is written when the page is put together and says which files make
// this version, each with its SHA-256:
//
//   shelf = {version, files: {name: sum}, later: {name: sum}}
//
// All of `files` are fetched at once and taken only if their sums agree; until
// then the version before stays in charge. `later` are kept when first asked
// for. A newer version takes over when the last tab of the older one is closed,
// or when a person says so in the page.

importScripts("shelf.js");

const scope = self.registration.scope;
const family = `crownbench ${scope} `; // one host may have the page under several paths
const own = family + shelf.version;

// Headers that a host may have set for good reason; those about the transfer
// do not hold for what is kept.
const carried = ["Content-Type", "Content-Security-Policy", "Cross-Origin-Opener-Policy", "Cross-Origin-Resource-Policy", "Referrer-Policy", "X-Content-Type-Options"];

function address(name) {
  return new URL(name, scope).href;
}

async function sumOf(bytes) {
  const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(sum, (b) => b.toString(16).padStart(2, "0")).join("");
}

// whole gives a file of this version from the network; it fails when what
// comes is of another one.
async function whole(name, sum) {
  const answer = await fetch(address(name), { cache: "no-cache" });
  if (!answer.ok) throw new Error(`${name}: the server answered ${answer.status}`);
  const bytes = await answer.arrayBuffer();
  if ((await sumOf(bytes)) !== sum) throw new Error(`${name} is of another version`);
  const headers = new Headers();
  for (const h of carried) {
    if (answer.headers.has(h)) headers.set(h, answer.headers.get(h));
  }
  return new Response(bytes, { headers });
}

// inherited gives a file from an older version's keep when it has not changed.
async function inherited(name, sum) {
  for (const key of await caches.keys()) {
    if (key === own || !key.startsWith(family)) continue;
    const kept = await (await caches.open(key)).match(address(name));
    if (kept && (await sumOf(await kept.clone().arrayBuffer())) === sum) return kept;
  }
  return null;
}

async function keep(cache, name, sum) {
  const answer = (await inherited(name, sum)) ?? (await whole(name, sum));
  await cache.put(address(name), answer.clone());
  return answer;
}

async function fill() {
  const cache = await caches.open(own);
  await Promise.all(Object.entries(shelf.files).map(async ([name, sum]) => {
    if (!(await cache.match(address(name)))) await keep(cache, name, sum);
  }));
}

async function dropOlder() {
  for (const key of await caches.keys()) {
    if (key.startsWith(family) && key !== own) await caches.delete(key);
  }
}

async function give(request, name, sum) {
  const cache = await caches.open(own);
  const kept = await cache.match(address(name));
  if (kept) return kept;
  try {
    return await keep(cache, name, sum);
  } catch (err) {
    // A page of another version is better than none; a part of another version
    // is not.
    if (request.mode === "navigate") return fetch(request);
    return Response.error();
  }
}

self.addEventListener("install", (e) => e.waitUntil(fill()));
self.addEventListener("activate", (e) => e.waitUntil(dropOlder().then(() => self.clients.claim())));
self.addEventListener("message", (e) => {
  if (e.data === "take over") self.skipWaiting();
});
self.addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  url.search = url.hash = "";
  if (e.request.method !== "GET" || !url.href.startsWith(scope)) return;
  const name = decodeURI(url.href.slice(scope.length)) || "index.html";
  const sum = shelf.files[name] ?? shelf.later[name];
  if (sum) e.respondWith(give(e.request, name, sum));
});
