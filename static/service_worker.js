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
  ({ request, url, sameOrigin }) =>
    sameOrigin && ['script', 'worker'].includes(request.destination) && url.pathname.endsWith('.js'),
  async ({ request, url }) => {
    const listed = await workbox.precaching.matchPrecache('/packed/module_map.json');
    const policy = listed?.headers.get('Content-Security-Policy');
    const line = ((await listed?.json()) ?? {})[url.pathname.slice(1)];
    if (!line) return fetch(request);
    // A worker has the policy of its own response.
    const headers = { 'Content-Type': 'text/javascript', ...(policy && { 'Content-Security-Policy': policy }) };
    return new Response(line, { headers });
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
