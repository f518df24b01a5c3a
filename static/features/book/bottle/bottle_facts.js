// Facts from the label of a bottle, with the lawful range of its alcohol.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { today as thisDay } from '../../../lib/datetime.js';
import { bottleFacts } from '../../../domain/bottle/bottle_facts.js';
import { labelAbv } from '../../../domain/bottle_names.js';
import { FactList } from '../../../components/layout/fact_list.js';
import { lawfulRange } from '../../../domain/lawful_range.js';
import { cachedSettings } from '../../../domain/units.js';
import { isAssumed, rangeText, ruleText } from '../../../domain/label_range_text.js';
import { styleName } from '../../../domain/style_names.js';

/** @typedef {import('../../../store/record.js').Row} Row */

/** Show the facts with their heading, on the page of the bottle. @param {{ bottle: Row }} props */
export function BottleFacts({ bottle }) {
  return html`<section class="tasting-step" aria-labelledby="step-bottle">
    <h2 id="step-bottle">${t('book.step_bottle')}</h2>
    <${BottleFactList} bottle=${bottle} />
  </section>`;
}

/**
 * @param {object} props
 * @param {Row | null} props.bottle
 * @param {string | undefined} [props.today] the date whose label law applies
 * @param {import('../../../domain/bottle/bottle_facts.js').TextFact[]} [props.more] of one tasting
 */
export function BottleFactList({ bottle, today = thisDay(), more = [] }) {
  const covered = bottle?.fields['covered'];
  return html`${covered && html`<p class="soft">${t('book.covered_note')}</p>`}
    <${FactList} entries=${[
      ...(bottle && !covered ? entries(bottle, today) : []),
      ...more.map(({ name, text }) => ({ name, value: text })),
    ]} />`;
}

/** Return the bottle in one line. @param {Row | null} bottle */
export function bottleDigest(bottle) {
  if (!bottle || bottle.fields['covered']) return '';
  const { producer, style } = bottle.fields;
  return [producer, styleName(style), labelAbv(bottle)].filter(Boolean).join(', ');
}

/** @param {Row} bottle @param {string} today */
function entries(bottle, today) {
  return bottleFacts(bottle.fields).map(({ field, name, text }) => ({
    name,
    value: field === 'label_abv' ? abvValue(bottle, text, today) : text,
  }));
}

/**
 * Write the printed alcohol with its lawful range.
 * @param {Row} bottle
 * @param {string} printed
 * @param {string} today
 */
function abvValue(bottle, printed, today) {
  const range = lawfulRange(bottle.fields, cachedSettings()['market'], today);
  if (!range.known) return printed;
  return html`${printed || t('book.no_number')}
    <span class="soft small aside-line" title=${ruleText(range)}>
      ${t('book.label_may_mean', { range: rangeText(range) })}
    </span>
    ${isAssumed(range) && html`<span class="soft small aside-line">${ruleText(range)}</span>`}`;
}
