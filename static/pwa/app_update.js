/**
 * New versions of the app: noticed by themselves, taken only when the taster says so.
 */
import { signal } from '../vendor/signals-core.js';

/** @type {import('../vendor/signals-core.js').Signal<boolean>} a newer version is here and waits to be taken */
export const newVersion = signal(false);

/** @type {ServiceWorkerRegistration | null} */
let registration = null;
let reloading = false;

/** Registers the worker and looks for new versions whenever the app is shown again: an installed app may never navigate. */
export async function watchVersion() {
  if (!('serviceWorker' in navigator)) return;
  const controlled = navigator.serviceWorker.controller !== null;
  registration = await navigator.serviceWorker.register(workerUrl(), { updateViaCache: 'none' }).catch(() => null);
  if (!registration) return;
  offer(registration);
  registration.addEventListener('updatefound', () => { if (registration) offer(registration); });
  document.addEventListener('visibilitychange', lookAgain);
  let first = !controlled;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (first) first = false;
    else changedHands();
  });
}

/** The one script address that may be handed to the browser: the pages' policy lets no other text become one. */
function workerUrl() {
  const policies = /** @type {any} */ (globalThis).trustedTypes;
  return policies ? policies.createPolicy('secondnose', { createScriptURL: () => '/sw.js' }).createScriptURL('') : '/sw.js';
}

/** Loads the new version. Everything noted is in the tables already. */
export function takeNewVersion() {
  const waiting = registration?.waiting;
  if (!waiting) { reload(); return; }
  reloading = true;
  waiting.postMessage({ type: 'SKIP_WAITING' });
}

function lookAgain() {
  if (document.visibilityState === 'visible') registration?.update().catch(() => undefined);
}

/** @param {ServiceWorkerRegistration} found */
function offer(found) {
  if (found.waiting && navigator.serviceWorker.controller) newVersion.value = true;
  const installing = found.installing;
  installing?.addEventListener('statechange', () => {
    if (installing.state === 'installed' && navigator.serviceWorker.controller) newVersion.value = true;
  });
}

/** Another tab, or this one, took the new version: files of two versions must not mix. */
function changedHands() {
  if (reloading || document.visibilityState === 'hidden') reload();
  else newVersion.value = true;
}

function reload() {
  reloading = true;
  location.reload();
}
