// Row on the quick note that leads to the tools.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';

export function ToolsRow() {
  return html`<a class="row ruled-row" href="#/pour/evening">
  <span class="grow"><span class="name">${t('evening.title')}</span><span class="soft small">${t('evening.row')}</span>
  </span>
  <span aria-hidden="true">${'\u2192'}
  </span>
  </a>`;
}
