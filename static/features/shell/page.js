// Page frame: title, back link, sync status, and on the main screens the way to the settings.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { route } from '../../router.js';
import { useRootClass } from '../../components/layout/root_class.js';
import { syncStatus } from '../../sync/status.js';

/**
 * @param {{ title: string, back?: string, trailing?: unknown, className?: string, children?: unknown }} props back:
 *   route of the back link
 */
export function Page({ title, back, trailing, className = 'page', children }) {
  const hasSettings = !back && route.value.screen !== 'settings';
  useRootClass(back ? 'with-back' : null);
  useRootClass(hasSettings ? 'with-settings-link' : null);
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
      ${hasSettings && html`<${SettingsLink} />`}
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
  const { isBlocked, rejected } = syncStatus.value;
  const attention = rejected.length > 0 || isBlocked;
  return html`<a class=${attention ? 'state-words attention' : 'state-words'} href="#/settings">
    ${syncStatusText(syncStatus.value)}
  </a>`;
}

/** @param {typeof syncStatus.value} status */
function syncStatusText({ phase, notes, changes, photos, rejected, lastSynced }) {
  if (rejected.length) return t('app.state_refused', { count: rejected.length });
  if (phase === 'signin' || phase === 'apart' || phase === 'update') return t(`app.state_${phase}`);
  const isSending = phase === 'syncing';
  if (notes) return t(isSending ? 'app.state_sending' : 'app.state_unsent', { count: notes });
  if (changes) return t(isSending ? 'app.state_sending_changes' : 'app.state_changes', { count: changes });
  if (photos) return t('app.state_photos', { count: photos });
  if (phase === 'waiting') return t('app.state_offline');
  return t(lastSynced !== null ? 'app.state_kept' : 'app.state_opening');
}

/**
 * Say how much is only on this phone, the part after "not backed up yet".
 * @param {import('../../store/persistence.js').Unsent} unsent
 */
export function unsentText({ notes, changes }) {
  if (!notes) return t('app.unsent_changes', { count: changes });
  const text = t('app.unsent_notes', { count: notes });
  return changes ? t('app.unsent_both', { count: changes, notes: text }) : text;
}
