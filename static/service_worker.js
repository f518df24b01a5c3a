/*
 * Service worker: precaches the app's files. Served at /sw.js with `self.__PRECACHE` (each file
 * with its revision) and Workbox's modules in front. It does not handle /api/; records are in
 * IndexedDB.
 */
/* global workbox */
workbox.core.setCacheNameDetails({ prefix: 'secondnose' });

// All files or none: if one is missing, the installation fails and the previous version stays.
workbox.precaching.precacheAndRoute(self.__PRECACHE, { cleanURLs: false });
workbox.precaching.cleanupOutdatedCaches();

// Serve a module's own address from the bundle that contains it, so that developer tools find it
// offline too.
workbox.routing.registerRoute(
  ({ request, url, sameOrigin }) => sameOrigin && request.destination === 'script' && url.pathname.endsWith('.js'),
  async ({ request, url }) => {
    const doors = (await (await workbox.precaching.matchPrecache('/packed/doors.json'))?.json()) ?? {};
    const door = doors[url.pathname.slice(1)];
    return door ? new Response(door, { headers: { 'Content-Type': 'text/javascript' } }) : fetch(request);
  },
);

workbox.routing.registerRoute(
  new workbox.routing.NavigationRoute(workbox.precaching.createHandlerBoundToURL('/index.html'), {
    denylist: [/^\/api\//, /^\/healthz$/, /^\/readyz$/, /^\/sw\.js$/],
  }),
);

// So that the first page works offline without a second visit.
workbox.core.clientsClaim();

// A new version waits until the user accepts it.
self.addEventListener('message', (event) => {
  if (event.data?.type === 'SKIP_WAITING') self.skipWaiting();
});
