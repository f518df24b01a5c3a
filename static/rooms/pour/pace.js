// The pace of a visit: pure alcohol poured and swallowed, with what the labels may lawfully hide, and the usual cautions beside it.
import { html, useMemo } from '../../ui.js';
import { t } from '../../words.js';
import { number } from '../../formats.js';
import { today } from '../../book/moment.js';
import { bottlesOf, live, tastingsOfVisit } from '../../book/read.js';
import { visitTally } from '../../trade/drinks.js';
import { TradeError } from '../../trade/errors.js';
import { labelRange } from '../../trade/label.js';
import { ownSettings } from './units.js';

/** @typedef {import('../../trade/drinks.js').TalliedPour} TalliedPour */
/** @typedef {ReturnType<typeof visitTally>['poured']} Swallow */

const GRAMS = 'grams';

/** @param {{ visit: string }} props */
export function Pace({ visit }) {
  const pours = useMemo(() => live(() => poursOf(visit), /** @type {TalliedPour[]} */ ([])), [visit]).value;
  const country = ownSettings()['drink_country'] ?? GRAMS;
  const tally = visitTally(pours, country);
  const counted = tally.poured.grams > 0 || tally.swallowed.grams > 0;
  return html`<section class="pace"><h3>${t('pour.pace')}</h3>
    ${counted && html`<ul class="ruled"><${Line} name=${t('pour.pace_poured')} sum=${tally.poured} country=${country} /><${Line} name=${t('pour.pace_swallowed')} sum=${tally.swallowed} country=${country} /></ul>`}
    ${tally.unknown_strength > 0 && html`<p class="field-note">${t('pour.pace_unknown_strength', { count: tally.unknown_strength })}</p>`}
    ${tally.unknown_volume > 0 && html`<p class="field-note">${t('pour.pace_unknown_volume', { count: tally.unknown_volume })}</p>`}
    ${tally.swallowed_not_said > 0 && html`<p class="field-note">${t('pour.pace_not_said')}</p>`}
    <p class="voice">${t('pour.pace_kindly')}</p><p class="field-note">${t('pour.pace_caution')}</p></section>`;
}

/** @param {{ name: string, sum: Swallow, country: string }} props */
function Line({ name, sum, country }) {
  const drinks = country === GRAMS ? null : t('pour.pace_drinks', { count: Number(sum.drinks.toFixed(1)), size: t(`drink_country.${country}`) });
  return html`<li class="pace-line"><span class="name">${name}</span><span class="figure"><span>${t('pour.pace_grams', { grams: number(sum.grams) })}</span>
    <span class="soft small">${t('pour.pace_between', { low: number(sum.grams_low), high: number(sum.grams_high) })}</span>${drinks && html`<span class="soft small">${drinks}</span>`}</span></li>`;
}

/** @param {string} visit @returns {Promise<TalliedPour[]>} a covered label keeps its strength to itself */
async function poursOf(visit) {
  const tastings = await tastingsOfVisit(visit);
  const bottles = await bottlesOf(tastings.map((row) => row.fields['bottle']));
  return tastings.map(({ fields }) => {
    const covered = fields['label_hidden'] && !fields['uncovered_at'];
    const bottle = covered ? {} : bottles.get(fields['bottle'])?.fields ?? {};
    const { low, high } = lawful(bottle);
    return { pour_ml: fields['pour_ml'] ?? null, swallowed_ml: fields['swallowed_ml'] ?? null, label_abv: bottle['label_abv'] ?? null, low, high };
  });
}

/** @param {Record<string, any>} bottle @returns {{ low: number | null, high: number | null }} hundredths of a percent */
function lawful(bottle) {
  try {
    return labelRange(bottle, today());
  } catch (error) {
    if (error instanceof TradeError) return { low: null, high: null };
    throw error;
  }
}
