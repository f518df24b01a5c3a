// What the label says, once the leader has uncovered it.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { FactList } from '../../components/layout/fact_list.js';
import { labelAbv, wineName } from '../../domain/bottle_names.js';
import { countryName } from '../../domain/country_names.js';
import { styleName } from '../../domain/style_names.js';
import { vintageText } from '../../domain/vintage_text.js';

/** @param {{ bottle: Record<string, any>, again: string }} props again: mark of another glass of the wine */
export function LabelFacts({ bottle, again }) {
  const plain = (/** @type {string} */ field) => ({ name: t(`field.${field}`), value: bottle[field] });
  return html`<section class="guest-label"><h2 class="name">${wineName(bottle)}</h2>
    ${again && html`<p class="notice">${t('guest.same_wine', { mark: again })}</p>`}
    <${FactList} entries=${[
      plain('producer'),
      { name: t('field.vintage'), value: vintageText(bottle) },
      { name: t('field.style'), value: styleName(bottle['style']) },
      plain('grapes'),
      plain('region'),
      { name: t('field.country'), value: countryName(bottle['country']) },
      { name: t('field.label_abv'), value: labelAbv(/** @type {any} */ ({ fields: bottle })) },
    ]} /></section>`;
}
