// Banner shown while the phone cannot save. Unsaved values are kept and tried again.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { journaled } from '../../store/write_journal.js';
import { saveError, retry } from '../../domain/pour/autosave_queue.js';

const KNOWN = ['full', 'no_storage', 'outdated', 'connection_lost'];

export function SaveErrorBanner() {
  const code = saveError.value ?? (journaled.value.length ? 'full' : null);
  if (!code) return null;
  return html`<div class="notice warm-notice" role="alert">
  <span>${t(`pour.trouble_${KNOWN.includes(code) ? code : 'other'}`)}
  </span>
    <button type="button" class="button" onClick=${retry}>${t('pour.try_again')}</button></div>`;
}
