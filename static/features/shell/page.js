// A page of the book: its title over the double rule, and at the right, in words, what is where.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { syncStatus } from '../../sync/status.js';

/**
 * @param {{ title: string, back?: string, aside?: unknown, children?: unknown }} props back is the place that the
 *   back word leads to
 */
export function Page({ title, back, aside, children }) {
  return html`<main class="page" id="page">
    <header class="page-head">
      ${
        back &&
        html`<a class="button plain back" href=${`#${back}`} aria-label=${t('app.back')}>
      <span aria-hidden="true">${'\u2190'}
      </span>
      </a>`
      }
      <h1>${title}</h1>
      ${aside ?? html`<${SyncStatus} />`}
    </header>
    ${children}
  </main>`;
}

/** Where the notes are, truthfully: only on this phone, on their way, kept, or in need of a hand. */
export function SyncStatus() {
  const { phase, notes, photos, refused, lastSynced } = syncStatus.value;
  const attention = refused.length > 0 || phase === 'signin' || phase === 'update';
  return html`<a class=${attention ? 'state-words attention' : 'state-words'} href="#/settings">
    ${syncStatusText(phase, notes, photos, refused.length, lastSynced !== null)}
  </a>`;
}

/**
 * @param {string} phase
 * @param {number} notes
 * @param {number} photos
 * @param {number} refused
 * @param {boolean} met whether the whole safe has been read once
 */
export function syncStatusText(phase, notes, photos, refused, met) {
  if (refused) return t('app.state_refused', { count: refused });
  if (phase === 'signin') return t('app.state_signin');
  if (phase === 'update') return t('app.state_update');
  if (notes) return t(phase === 'syncing' ? 'app.state_sending' : 'app.state_unsent', { count: notes });
  if (photos) return t('app.state_photos', { count: photos });
  if (phase === 'waiting') return t('app.state_offline');
  return t(met ? 'app.state_kept' : 'app.state_opening');
}
