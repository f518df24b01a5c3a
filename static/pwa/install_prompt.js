/**
 * Installation on the home screen. Chromium fires `beforeinstallprompt` (not a standard). Safari on
 * a phone has no prompt, but keeps a site's data only if it is on the home screen.
 *
 * @typedef {Event & { prompt: () => Promise<{ outcome: 'accepted' | 'dismissed' }> }} InstallEvent
 */
import { computed, signal } from '../vendor/signals-core.js';

const promptEvent = signal(/** @type {InstallEvent | null} */ (null));
const done = signal(false);

/**
 * done: installed, or running from the home screen; ask: the browser can show its prompt; by_hand:
 * through Safari's menu; null: unknown.
 */
export const installOption = computed(() => {
  if (done.value || isStandalone()) return 'done';
  if (promptEvent.value) return 'ask';
  return isPhoneSafari() ? 'by_hand' : null;
});

/** Call this at the start, because the browser fires the event once. */
export function listenForInstall() {
  addEventListener('beforeinstallprompt', (event) => {
    event.preventDefault();
    promptEvent.value = /** @type {InstallEvent} */ (event);
  });
  addEventListener('appinstalled', () => {
    done.value = true;
  });
}

/** @returns {Promise<boolean>} whether the user accepted; the browser's prompt works only once */
export async function install() {
  const event = promptEvent.peek();
  promptEvent.value = null;
  return (await event?.prompt())?.outcome === 'accepted';
}

function isStandalone() {
  return (
    matchMedia('(display-mode: standalone)').matches ||
    /** @type {{ standalone?: boolean }} */ (navigator).standalone === true
  );
}

function isPhoneSafari() {
  return 'standalone' in navigator && navigator.maxTouchPoints > 0;
}
