/**
 * Putting the page on the home screen, in the browser's own way. Chromium says when it may (`beforeinstallprompt`,
 * not a
 * standard); Safari on a phone never asks, but keeps the data of a page only where it stands on the home screen.
 *
 * @typedef {Event & { prompt: () => Promise<{ outcome: 'accepted' | 'dismissed' }> }} InstallEvent
 */
import { computed, signal } from '../vendor/signals-core.js';

const offered = signal(/** @type {InstallEvent | null} */ (null));
const done = signal(false);

/**
 * done: it opens from the home screen, or was just put there; ask: the browser would do it; by_hand: Safari's own
 *   menu; null: nothing is known.
 */
export const installOption = computed(() => {
  if (done.value || opensAlone()) return 'done';
  if (offered.value) return 'ask';
  return isPhoneSafari() ? 'by_hand' : null;
});

/** To be called before anything else waits: the browser says it once. */
export function listenForInstall() {
  addEventListener('beforeinstallprompt', (event) => {
    event.preventDefault();
    offered.value = /** @type {InstallEvent} */ (event);
  });
  addEventListener('appinstalled', () => {
    done.value = true;
  });
}

/** @returns {Promise<boolean>} whether the taster said yes; the browser's question can be asked once only */
export async function install() {
  const event = offered.peek();
  offered.value = null;
  return (await event?.prompt())?.outcome === 'accepted';
}

function opensAlone() {
  return (
    matchMedia('(display-mode: standalone)').matches ||
    /** @type {{ standalone?: boolean }} */ (navigator).standalone === true
  );
}

function isPhoneSafari() {
  return 'standalone' in navigator && navigator.maxTouchPoints > 0;
}
