// Alcohol intake of a visit, or of the last hours without one: pure alcohol poured and swallowed,
// as a range that includes the label tolerance.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { number } from '../../lib/format.js';
import { today } from '../../lib/datetime.js';
import { liveSignal } from '../../store/queries.js';
import { visitTally } from '../../rules/label/drinks.js';
import { RuleError } from '../../rules/errors.js';
import { resolveBottle } from '../bottle_names.js';
import { isAssumed, ruleText } from '../label_range_text.js';
import { lawfulRange } from '../lawful_range.js';
import { IntakeCautions } from './cautions.js';
import { IntakePours } from './pours.js';
import { ReminderChoice } from './reminder.js';
import { isTasted, poursOf } from '../pour/visit_pours.js';
import { cachedSettings } from '../units.js';

/** @typedef {import('../../rules/label/drinks.js').CountedPour} CountedPour */
/** @typedef {ReturnType<typeof visitTally>['poured']} Swallow */

const GRAMS = 'grams';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('../pour/visit_pours.js').VisitPours} VisitPours */

/** @type {VisitPours} */
const INITIAL_VALUE = { rows: [], bottles: new Map() };

/** @param {{ visit?: string }} props without a visit: the pours of the last hours */
export function Intake({ visit }) {
  const { rows, bottles } = useMemo(() => liveSignal(() => poursOf(visit), INITIAL_VALUE), [visit]).value;
  const country = cachedSettings()['drink_country'] ?? GRAMS;
  const pours = rows.filter(isTasted).map((row) => toCountedPour(row, bottles));
  const totals = visitTally(pours, country);
  const assumptions = new Set(pours.flatMap(({ assumption }) => assumption ?? []));
  const outside = visit ? rows.filter((row) => row.fields['visit'] !== visit && isTasted(row)).length : 0;
  const counted = totals.poured.grams > 0 || totals.swallowed.grams > 0;
  return html`<section class="intake"><h2>${t('pour.pace')}</h2>
    ${
      counted &&
      html`<ul class="ruled">
      <${Line} name=${t('pour.pace_poured')} sum=${totals.poured} country=${country} />
      <${Line} name=${t('pour.pace_swallowed')} sum=${totals.swallowed} country=${country} />
    </ul>
    ${[...assumptions].map((text) => html`<p class="field-note">${text}</p>`)}`
    }
    ${outside > 0 && html`<p class="field-note">${t('evening.pace_outside', { count: outside })}</p>`}
    ${
      totals.unknown_strength > 0 &&
      html`<p class="field-note">
      ${t('pour.pace_unknown_strength', { count: totals.unknown_strength })}
    </p>`
    }
    ${
      totals.unknown_volume > 0 &&
      html`<p class="field-note">
      ${t('pour.pace_unknown_volume', { count: totals.unknown_volume })}
    </p>`
    }
    ${totals.swallowed_not_said > 0 && html`<p class="field-note">${t('pour.pace_not_said')}</p>`}
    ${
      totals.swallowed_over_poured > 0 &&
      html`<p class="field-note">
      ${t('evening.pace_over', { count: totals.swallowed_over_poured })}
    </p>`
    }
    ${!rows.length && html`<p class="soft">${t('evening.pace_none')}</p>`}
    ${counted && country === GRAMS && html`<a class="button plain" href="#/settings">${t('evening.pace_country')}</a>`}
    <${IntakePours} rows=${rows} bottles=${bottles} />
    <p class="voice">${t('pour.pace_kindly')}</p><${ReminderChoice} />
    <${IntakeCautions} country=${country} /></section>`;
}

/** @param {{ name: string, sum: Swallow, country: string }} props */
function Line({ name, sum, country }) {
  const drinks =
    country === GRAMS
      ? null
      : t('evening.pace_drinks', {
          drinks: number(sum.drinks),
          low: number(sum.drinks_low),
          high: number(sum.drinks_high),
          size: t(`drink_country.${country}`),
        });
  return html`<li class="intake-line">
  <span class="name">${name}
  </span>
  <span class="figure"><span>${t('pour.pace_grams', { grams: number(sum.grams) })}</span>
    <span class="soft small">${t('pour.pace_between', { low: number(sum.grams_low), high: number(sum.grams_high) })}
    </span>
    ${drinks && html`<span class="soft small">${drinks}</span>`}
    </span>
    </li>`;
}

/**
 * Return a pour for the sum. The alcohol of a hidden label is left out, because the sum would
 * reveal it.
 * @param {Row} row
 * @param {Map<string, Row>} bottles
 * @returns {CountedPour & { assumption: string | null }} assumption: the margin of its label, if no law is known for it
 */
function toCountedPour({ fields }, bottles) {
  const found = resolveBottle(bottles, fields['bottle'])?.fields ?? {};
  const covered = (fields['label_hidden'] && !fields['uncovered_at']) || found['covered'];
  const bottle = covered ? {} : found;
  const range = lawful(bottle);
  return {
    pour_ml: fields['pour_ml'] ?? null,
    swallowed_ml: fields['swallowed_ml'] ?? saidSwallowed(fields),
    label_abv: bottle['label_abv'] ?? null,
    low: range?.low ?? null,
    high: range?.high ?? null,
    assumption: range && isAssumed(range) ? ruleText(range) : null,
  };
}

/** @param {Record<string, any>} fields @returns {number | null} what "spat" or "swallowed" says without an amount */
function saidSwallowed({ spat, pour_ml }) {
  return typeof spat === 'boolean' && typeof pour_ml === 'number' ? (spat ? 0 : pour_ml) : null;
}

/** @param {Record<string, any>} bottle */
function lawful(bottle) {
  try {
    return lawfulRange(bottle, cachedSettings()['market'], today());
  } catch (error) {
    if (error instanceof RuleError) return null;
    throw error;
  }
}
