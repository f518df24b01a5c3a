// Units, country, language and theme.
import { html } from '../../lib/ui.js';
import { Choice } from '../../components/form/choice.js';
import { SearchSelect } from '../../components/form/search_select.js';
import { SelectField } from '../../components/form/select_field.js';
import { applyTheme } from '../../first_paint.js';
import { currencySign } from '../../lib/format.js';
import { t } from '../../i18n.js';
import vocabularies from '../../spec/vocabularies.json' with { type: 'json' };
import { currencyItems } from '../../domain/currencies.js';
import { saveSettings, setter, ownerSettings } from './owner_settings.js';

/** @typedef {keyof typeof vocabularies.vocabularies} Vocabulary */

/** @param {Vocabulary} vocabulary */
function optionsOf(vocabulary) {
  return vocabularies.vocabularies[vocabulary].map((id) => ({ id, label: t(`${vocabulary}.${id}`) }));
}

/** Draw the preferences; a unit is always in use, so a second tap on it changes nothing. */
export function Preferences() {
  const fields = ownerSettings();
  return html`<section class="settings-part" aria-labelledby="settings-units">
    <h2 id="settings-units">${t('settings.units_part')}</h2>
    ${
      /** @type {const} */ (['temperature_unit', 'volume_unit']).map(
        (name) => html`<${Choice} key=${name}
        label=${t(`field.${name}`)} options=${optionsOf(name)}
        value=${fields[name] ?? vocabularies.vocabularies[name][0]}
        onChange=${(/** @type {string | null} */ unit) => unit && setter(name)(unit)} />`,
      )
    }
    <${SearchSelect} label=${t('field.currency')} items=${currencyItems()} value=${fields['currency']}
      valueText=${currencySign(fields['currency'])}
        placeholder=${t('settings.not_said')} onChange=${setter('currency')} />
    <${SelectField} label=${t('field.drink_country')} options=${optionsOf('drink_country')}
        value=${fields['drink_country']} none=${t('settings.not_said')} onChange=${setter('drink_country')}
        note=${t('settings.drink_note')} />
    <${SelectField} label=${t('field.market')} options=${optionsOf('market')} value=${fields['market']}
        none=${t('settings.not_said')} onChange=${setter('market')} note=${t('settings.market_note')} />
  </section>`;
}

export function Appearance() {
  const { language, light } = ownerSettings();
  return html`<section class="settings-part" aria-labelledby="settings-look">
    <h2 id="settings-look">${t('settings.look')}</h2>
    <${SelectField} label=${t('field.language')} options=${optionsOf('language')} value=${language}
        none=${t('settings.language_auto')} onChange=${changeLanguage} />
    <${Choice} label=${t('field.light')} options=${optionsOf('light')} value=${light ?? 'auto'}
        onChange=${changeTheme} />
  </section>`;
}

/** @param {string | null} light a second tap returns to the phone's setting */
function changeTheme(light) {
  applyTheme(light);
  saveSettings({ light });
}

/** Session storage: the page was reloaded for another language. */
const CHANGED = 'language_changed';

/** Show the choice of the language again after the reload. */
export function returnToLanguage() {
  if (sessionStorage.getItem(CHANGED) === null) return;
  sessionStorage.removeItem(CHANGED);
  // After the router's scroll to the top.
  requestAnimationFrame(() => document.getElementById('settings-look')?.scrollIntoView());
}

/** Reload the page, because all texts change. All data is saved. @param {string | null} language */
async function changeLanguage(language) {
  await saveSettings({ language });
  sessionStorage.setItem(CHANGED, 'yes');
  location.reload();
}
