// Page frame: title, back link, sync status, and on the main screens the way to the settings.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { route } from '../../router.js';
import { syncStatus } from '../../sync/status.js';

/**
 * @param {{ title: string, back?: string, trailing?: unknown, className?: string, children?: unknown }} props back:
 *   route of the back link
 */
export function Page({ title, back, trailing, className = 'page', children }) {
  return html`<main class=${className} id="page">
    <header class="page-head">
      ${
        back &&
        html`<a class="button plain back" href=${`#${back}`} aria-label=${t('app.back')}>
      <span aria-hidden="true">${'\u2190'}
      </span>
      </a>`
      }
      <h1>${title}</h1>
      ${trailing ?? html`<${SyncStatus} />`}
      ${!back && route.value.screen !== 'settings' && html`<${SettingsLink} />`}
    </header>
    ${children}
  </main>`;
}

function SettingsLink() {
  return html`<a class="settings-link" href="#/settings" aria-label=${t('app.settings')}>
    <svg viewBox="0 0 20 20" aria-hidden="true"><path d="M1 5h18M1 10h18M1 15h18M6 3v4M14 8v4M9 13v4" /></svg>
  </a>`;
}

/** Sync state of the notes: only on this phone, being sent, synced, or in need of action. */
export function SyncStatus() {
  const { phase, notes, photos, rejected, lastSynced } = syncStatus.value;
  const attention = rejected.length > 0 || phase === 'signin' || phase === 'update';
  return html`<a class=${attention ? 'state-words attention' : 'state-words'} href="#/settings">
    ${syncStatusText(phase, notes, photos, rejected.length, lastSynced !== null)}
  </a>`;
}

/**
 * @param {string} phase
 * @param {number} notes
 * @param {number} photos
 * @param {number} rejected
 * @param {boolean} isSynced whether a sync was ever completed
 */
export function syncStatusText(phase, notes, photos, rejected, isSynced) {
  if (rejected) return t('app.state_refused', { count: rejected });
  if (phase === 'signin') return t('app.state_signin');
  if (phase === 'update') return t('app.state_update');
  if (notes) return t(phase === 'syncing' ? 'app.state_sending' : 'app.state_unsent', { count: notes });
  if (photos) return t('app.state_photos', { count: photos });
  if (phase === 'waiting') return t('app.state_offline');
  return t(isSynced ? 'app.state_kept' : 'app.state_opening');
}
