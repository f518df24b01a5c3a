/*
 * The service worker: keeps the app itself on the phone. Served at /sw.js with `self.__PRECACHE`, the list of the app's
 * files with a revision each, and Workbox's modules in front. Records never pass through here: /api/ is left to the
 * network, and the book lies in
 * the page's own tables.
 */
/* global workbox */
workbox.core.setCacheNameDetails({ prefix: 'secondnose' });

// All of the list or nothing: a file that cannot be had leaves the version before in place.
workbox.precaching.precacheAndRoute(self.__PRECACHE, { cleanURLs: false });
workbox.precaching.cleanupOutdatedCaches();

// A module's own address leads into the packed file that holds it, without a network too, for whoever looks into the
// app.
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

// The very first page may go offline before it is loaded a second time.
workbox.core.clientsClaim();

// A new version waits until the taster takes it.
self.addEventListener('message', (event) => {
  if (event.data?.type === 'SKIP_WAITING') self.skipWaiting();
});
