// Asks once, on the first visit to the shelf, for the market whose label law applies. The settings
// have it too.
import { html } from '../../../lib/ui.js';
import { localState } from '../../../store/local_state.js';
import { save } from '../../../store/write.js';
import { settingsId } from '../../../store/queries.js';
import { t } from '../../../i18n.js';
import vocabularies from '../../../spec/vocabularies.json' with { type: 'json' };
import { SelectField } from '../../../components/form/select_field.js';
import { shelf } from './shelf_state.js';

const answered = localState('market_asked', /** @returns {value is true} */ (value) => value === true);

export function AskMarket() {
  const { settings, asked } = shelf.value;
  if (!asked || settings['market'] || answered.value) return null;
  const options = vocabularies.vocabularies.market.map((id) => ({ id, label: t(`market.${id}`) }));
  return html`<div class="notice ask-market">
    <${SelectField} label=${t('shelf.ask_market')} options=${options} value=${null} none=${t('shelf.ask_market_choose')}
        note=${t('shelf.ask_market_why')} onChange=${choose} />
    <button type="button" class="button plain" onClick=${() => answered.set(true)}>${t('install.not_now')}</button>
    </div>`;
}

/** @param {string | null} market */
function choose(market) {
  if (market) save('settings', settingsId, { market });
}
