// Notice of a new version, loaded with the update check after the first paint.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { updateAvailable, applyUpdate, registerServiceWorker } from '../../pwa/app_update.js';

export { registerServiceWorker };

export function NewVersion() {
  return (
    updateAvailable.value &&
    html`<div class="new-version" role="status"><span>${t('app.new_version')}</span>
    <button type="button" class="button" onClick=${applyUpdate}>${t('app.take_new_version')}</button></div>`
  );
}
