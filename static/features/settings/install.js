// Install button, for users who have dismissed the banner.
import { html } from '../../lib/ui.js';
import { install, installOption } from '../../pwa/install_prompt.js';
import { t } from '../../i18n.js';

export function Install() {
  const option = installOption.value ?? 'menu';
  return html`<section class="settings-part" aria-labelledby="settings-install">
    <h2 id="settings-install">${t('install.title')}</h2>
    <p class="soft">${t(`install.${option}`)}</p>
    ${
      option === 'ask' &&
      html`<div class="buttons">
    <button type="button" class="button" onClick=${install}>${t('install.put')}
    </button>
    </div>`
    }
  </section>`;
}
