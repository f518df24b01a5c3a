/** App updates: found automatically, applied only when the user accepts. */
import { scriptUrl } from '../lib/script_url.js';
import { signal } from '../vendor/signals-core.js';

/** @type {import('../vendor/signals-core.js').Signal<boolean>} whether a new version is installed and waits */
export const updateAvailable = signal(false);

/** @type {ServiceWorkerRegistration | null} */
let registration = null;
let reloading = false;

/**
 * Register the service worker, and check for updates when the app becomes visible, because an
 * installed app may never navigate.
 */
export async function registerServiceWorker() {
  if (!('serviceWorker' in navigator)) return;
  // Listened to before the registration, because the first worker may take the page over while that is awaited.
  let first = navigator.serviceWorker.controller === null;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (first) first = false;
    else onControllerChange();
  });
  registration = await navigator.serviceWorker
    .register(scriptUrl('/sw.js'), { updateViaCache: 'none' })
    .catch(() => null);
  if (!registration) return;
  watchInstalling(registration);
  registration.addEventListener('updatefound', () => {
    if (registration) watchInstalling(registration);
  });
  document.addEventListener('visibilitychange', checkForUpdate);
}

/** Reload with the new version. All edits are saved already. */
export function applyUpdate() {
  const waiting = registration?.waiting;
  if (!waiting) {
    reload();
    return;
  }
  reloading = true;
  waiting.postMessage({ type: 'SKIP_WAITING' });
}

function checkForUpdate() {
  if (document.visibilityState === 'visible') registration?.update().catch(() => undefined);
}

/** @param {ServiceWorkerRegistration} found */
function watchInstalling(found) {
  if (found.waiting && navigator.serviceWorker.controller) updateAvailable.value = true;
  const installing = found.installing;
  installing?.addEventListener('statechange', () => {
    if (installing.state === 'installed' && navigator.serviceWorker.controller) updateAvailable.value = true;
  });
}

/** Handle a new active worker: reload, because files of two versions must not mix. */
function onControllerChange() {
  if (reloading || document.visibilityState === 'hidden') reload();
  else updateAvailable.value = true;
}

function reload() {
  reloading = true;
  location.reload();
}
