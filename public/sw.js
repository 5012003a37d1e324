// The service worker: keeps one whole build on the device, so that the app opens without a network.
//
// A build is fetched whole or not at all, into a cache that bears its name. The build that a person uses
// is changed only by her consent: a newer one is fetched, then waits, even over a restart of the browser,
// until a page sends { type: 'take-over' }. Only then is the older build deleted.
//
// The two marks below are filled by the build with its own name and the exact list of its files.

const BUILD = '__BUILD_ID__';
const FILES = __FILES__;

const SCOPE = new URL(self.registration.scope);
// Several apps may share an origin, each under its own path; caches belong to the origin.
const PREFIX = `rackweek:${SCOPE.pathname}:`;
const CHOICE = `${PREFIX}choice`;
const PAGE = SCOPE.href;
const ADDRESSES = new Set(FILES.map((name) => new URL(name, SCOPE).href));

/** The build that the person uses, or null before the first visit has been stored. */
async function chosenBuild() {
  const answer = await (await caches.open(CHOICE)).match(PAGE);
  return answer ? answer.text() : null;
}

async function choose(build) {
  await (await caches.open(CHOICE)).put(PAGE, new Response(build));
}

/** The cache to answer from: the chosen build's, or this worker's own when that one was evicted. */
async function currentCache() {
  const chosen = await chosenBuild();
  const kept = chosen !== null && (await caches.has(PREFIX + chosen));
  return caches.open(PREFIX + (kept ? chosen : BUILD));
}

async function fetchWhole(address) {
  const answer = await fetch(new Request(address, { cache: 'no-cache', redirect: 'follow' }));
  if (!answer.ok) throw new Error(`${address} answered ${answer.status}`);
  if (address !== PAGE) return answer;
  // During a deployment the page may still be the older one; mixing builds is worse than waiting.
  const text = await answer.text();
  if (!text.includes(BUILD)) throw new Error('the page belongs to another build');
  return new Response(text, { headers: answer.headers });
}

async function storeBuild() {
  const name = PREFIX + BUILD;
  const addresses = [...ADDRESSES];
  // Everything is fetched before anything is stored.
  const answers = await Promise.all(addresses.map(fetchWhole));
  const cache = await caches.open(name);
  try {
    await Promise.all(addresses.map((address, at) => cache.put(address, answers[at])));
  } catch (problem) {
    await caches.delete(name);
    throw problem;
  }
  if ((await chosenBuild()) === null) await choose(BUILD);
}

async function forgetOtherBuilds() {
  const kept = new Set([CHOICE, PREFIX + BUILD, PREFIX + (await chosenBuild())]);
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(PREFIX) && !kept.has(name));
  await Promise.all(old.map((name) => caches.delete(name)));
}

async function takeOver() {
  await choose(BUILD);
  await self.skipWaiting();
  await forgetOtherBuilds();
  // Every open page must change together: pages of two builds must not write the same records.
  const pages = await self.clients.matchAll({ includeUncontrolled: true, type: 'window' });
  for (const page of pages) page.postMessage({ type: 'taken-over', build: BUILD });
}

async function answer(request, isPage) {
  const address = isPage ? PAGE : request.url.split('#')[0];
  const cache = await currentCache();
  const kept = await cache.match(address, { ignoreVary: true });
  if (kept) return kept;
  const fresh = await fetch(request);
  // A file lost from the cache is put back, but only into the build it belongs to.
  if (fresh.ok && (await chosenBuild()) === BUILD) {
    await (await caches.open(PREFIX + BUILD)).put(address, fresh.clone());
  }
  return fresh;
}

self.addEventListener('install', (event) => event.waitUntil(storeBuild()));

self.addEventListener('activate', (event) => {
  event.waitUntil(forgetOtherBuilds().then(() => self.clients.claim()));
});

self.addEventListener('message', (event) => {
  const type = event.data?.type;
  if (type === 'take-over') event.waitUntil(takeOver());
  if (type === 'which-build') {
    const reply = event.ports[0];
    event.waitUntil(
      chosenBuild().then((chosen) => reply?.postMessage({ chosen, newest: BUILD })),
    );
  }
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  if (request.method !== 'GET' || !request.url.startsWith(SCOPE.href)) return;
  const address = request.url.split('#')[0];
  const isPage = request.mode === 'navigate';
  // Files of an older chosen build lie in a folder that this worker's list does not name.
  const inBuild = ADDRESSES.has(address) || /^[0-9a-f]{16}\//.test(address.slice(SCOPE.href.length));
  if (isPage || inBuild) event.respondWith(answer(request, isPage));
});
