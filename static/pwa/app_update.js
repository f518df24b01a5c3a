/**
 * New versions of the app: noticed by themselves, taken only when the taster says so.
 */
import { signal } from '../vendor/signals-core.js';

/** @type {import('../vendor/signals-core.js').Signal<boolean>} a newer version is here and waits to be taken */
export const updateAvailable = signal(false);

/** @type {ServiceWorkerRegistration | null} */
let registration = null;
let reloading = false;

/**
 * Registers the worker and looks for new versions whenever the app is shown again: an installed app may never
 *   navigate.
 */
export async function registerServiceWorker() {
  if (!('serviceWorker' in navigator)) return;
  const controlled = navigator.serviceWorker.controller !== null;
  registration = await navigator.serviceWorker.register(workerUrl(), { updateViaCache: 'none' }).catch(() => null);
  if (!registration) return;
  watchInstalling(registration);
  registration.addEventListener('updatefound', () => {
    if (registration) watchInstalling(registration);
  });
  document.addEventListener('visibilitychange', checkForUpdate);
  let first = !controlled;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (first) first = false;
    else onControllerChange();
  });
}

/** The one script address that may be handed to the browser: the pages' policy lets no other text become one. */
function workerUrl() {
  const policies = /** @type {any} */ (globalThis).trustedTypes;
  return policies
    ? policies.createPolicy('secondnose', { createScriptURL: () => '/sw.js' }).createScriptURL('')
    : '/sw.js';
}

/** Loads the new version. Everything noted is in the tables already. */
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

/** Another tab, or this one, took the new version: files of two versions must not mix. */
function onControllerChange() {
  if (reloading || document.visibilityState === 'hidden') reload();
  else updateAvailable.value = true;
}

function reload() {
  reloading = true;
  location.reload();
}
