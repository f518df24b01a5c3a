// Fixed warnings shown with every count of alcohol. The app never calculates anything about the
// user, such as blood alcohol.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Disclosure } from '../../components/layout/disclosure.js';

const WARNING_MARKET = 'US';

/** @param {{ country: string }} props the country whose standard drink is used */
export function IntakeCautions({ country }) {
  return html`<p class="field-note">${t('evening.caution')}</p>
    <${Disclosure} label=${t('evening.caution_more')}>
      <ul class="cautions">
        ${['calculate', 'zero', 'spit', 'age'].map(
          (each) => html`<li key=${each}>${t(`evening.caution_${each}`)}
        </li>`,
        )}
      ${country === WARNING_MARKET && html`<li>${t('evening.caution_law_US')}</li>`}</ul><//>`;
}
