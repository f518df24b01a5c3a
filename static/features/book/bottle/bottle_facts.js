// Facts from the label of a bottle, with the lawful range of its alcohol.
import { html } from '../../../lib/ui.js';
import { number } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { today as thisDay } from '../../../lib/datetime.js';
import { labelAbv } from '../../../domain/bottle_names.js';
import { countryName } from '../../../domain/country_names.js';
import { FactList } from '../../../components/layout/fact_list.js';
import { lawfulRange } from '../../../domain/lawful_range.js';
import { cachedSettings } from '../../../domain/units.js';
import { rangeText, ruleText } from '../../../domain/label_range_text.js';
import { styleName } from '../../../domain/style_names.js';

/** @typedef {import('../../../store/record.js').Row} Row */

/** The facts with their heading, on the page of the bottle. @param {{ bottle: Row }} props */
export function BottleFacts({ bottle }) {
  return html`<section class="diary-step" aria-labelledby="step-bottle">
    <h2 id="step-bottle">${t('book.step_bottle')}</h2>
    <${BottleFactList} bottle=${bottle} />
  </section>`;
}

/**
 * @param {object} props
 * @param {Row | null} props.bottle
 * @param {string | undefined} [props.today] the date whose label law applies
 * @param {import('../../../components/layout/fact_list.js').FactEntry[]} [props.more] further facts
 *   of one tasting
 */
export function BottleFactList({ bottle, today = thisDay(), more = [] }) {
  const covered = bottle?.fields['covered'];
  return html`${covered && html`<p class="soft">${t('book.covered_note')}</p>`}
    <${FactList} entries=${[...(bottle && !covered ? entries(bottle, today) : []), ...more]} />`;
}

/** Return the bottle in one line. @param {Row | null} bottle */
export function bottleDigest(bottle) {
  if (!bottle || bottle.fields['covered']) return '';
  const { producer, style } = bottle.fields;
  return [producer, styleName(style), labelAbv(bottle)].filter(Boolean).join(', ');
}

/** @param {Row} bottle @param {string} today */
function entries(bottle, today) {
  const { fields } = bottle;
  const plain = (/** @type {string} */ field) => ({ name: t(`field.${field}`), value: fields[field] });
  const chosen = (/** @type {string} */ field, /** @type {string} */ vocabulary) =>
    fields[field] ? { name: t(`field.${field}`), value: t(`${vocabulary}.${fields[field]}`) } : null;
  const measured = (/** @type {string} */ field, /** @type {string} */ key) =>
    typeof fields[field] === 'number'
      ? { name: t(`field.${field}`), value: t(key, { amount: number(fields[field], 2) }) }
      : null;
  return [
    plain('producer'),
    { name: t('field.vintage'), value: fields['vintage'] ?? (fields['non_vintage'] && t('vintage.none_said')) },
    { name: t('field.style'), value: styleName(fields['style']) },
    plain('grapes'),
    plain('region'),
    { name: t('field.country'), value: countryName(fields['country']) },
    abvEntry(bottle, today),
    fields['label_words']?.length
      ? {
          name: t('field.label_words'),
          value: fields['label_words'].map((/** @type {string} */ term) => t(`label_words.${term}`)).join(', '),
        }
      : null,
    measured('residual_sugar_gl', 'book.grams_a_litre'),
    measured('total_acidity_gl', 'book.grams_a_litre'),
    chosen('closure', 'closure'),
    measured('volume_ml', 'book.millilitres'),
    plain('words'),
  ];
}

/** @param {Row} bottle @param {string} today */
function abvEntry(bottle, today) {
  const range = lawfulRange(bottle.fields, cachedSettings()['market'], today);
  const printed = labelAbv(bottle);
  if (!printed && !range.known) return null;
  return {
    name: t('field.label_abv'),
    value: html`${printed || t('book.no_number')}
    ${
      range.known &&
      html`<span class="soft small aside-line" title=${ruleText(range)}>
      ${t('book.label_may_mean', { range: rangeText(range) })}
    </span>`
    }`,
  };
}
