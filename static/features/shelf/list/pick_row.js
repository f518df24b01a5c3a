// Row of one pick: name, predicted liking, lawful alcohol range, reason, and buttons.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { RangeBar } from '../../../components/chart/range_bar.js';
import { ValueWithBar } from '../../../components/chart/value_with_bar.js';
import { ToleranceMark } from '../../../components/chart/tolerance_mark.js';
import { bottleName } from '../../../domain/bottle_names.js';
import { LikingValue } from '../../../domain/tasting_row.js';
import { asPercent, isByLaw, rangeText } from '../../../domain/label_range_text.js';
import { shownPalate } from '../../shell/shown_palate.js';
import { axis } from './abv_axis.js';
import { likelihoodText, expectedScore, expectedText, interval68, surenessText, topReason } from './prediction_text.js';
import { pickLine } from './pick_text.js';
import { ownLiking } from './sort.js';
import { markBought, markSkipped } from './pick_actions.js';
import { CompanyExpected, CompanyWhy } from './company_view.js';
import { alcohol, isYoung, lacksAbv, palateModel, judged, openedId, preferred, targets } from './shelf_state.js';
import { uncapitalized } from '../../../lib/capital.js';
import { NameAndLine } from '../../../components/layout/row.js';

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */

/** @param {{ row: ShelfRow }} props */
export function PickRow({ row }) {
  const { pick, bottle } = row;
  const name = bottleName(bottle);
  const hasReason = row.position === 'may_stray' && row.range.known;
  return html`<article class="pick" aria-label=${name}>
    <button type="button" class="pick-open" onClick=${() => {
      openedId.value = pick.id;
    }}>
      <span class="pick-what"><${NameAndLine} name=${name} line=${pickLine(row)} /></span>
      <${Expected} row=${row} />
      <span class="pick-more" aria-hidden="true">${'\u203a'}</span>
    </button>
    ${(hasPreferred() || lacksAbv(row)) && html`<${AbvBar} row=${row} />`}
    <p class="small pick-why"><${Why} row=${row} /></p>
    <div class="pick-foot">
      <div class=${`pick-position${hasReason ? ' with-reason' : ''}`}>
        <${TolerancePosition} row=${row} />
        ${
          hasReason &&
          html`<span class="soft small">
          ${t(isByLaw(row.range) ? 'shelf.by_law' : 'shelf.label_says', { range: rangeText(row.range) })}
        </span>`
        }
      </div>
      <div class="pick-deal">
        <button type="button" class="button plain" data-once onClick=${() => markSkipped(row)}
            aria-label=${t('shelf.pass_named', { name })}>
          ${t('shelf.pass')}
        </button>
        <button type="button" class="button" data-once onClick=${() => markBought(row)}
            aria-label=${t('shelf.buy_named', { name })}>
          ${t('shelf.buy')}
        </button>
      </div>
    </div>
  </article>`;
}

/**
 * Show the predicted liking, or the earlier rating of a tasted bottle.
 * @param {{ row: ShelfRow }} props
 */
function Expected({ row }) {
  const { score, company } = row;
  if (company) return html`<${CompanyExpected} company=${company} />`;
  const liking = ownLiking(row);
  if (liking) return html`<${LikingValue} liking=${liking} />`;
  if (!score || !judged.value) return null;
  return html`<${ValueWithBar} figure=${`~${expectedScore(score)}`} text=${expectedText(score)} min=${1} max=${9}
      span=${interval68(score)} />`;
}

/** @param {{ row: ShelfRow, notches?: number[] }} props the lawful range against the preferred range */
export function AbvBar({ row: { range, label }, notches = [] }) {
  const { low, high } = preferred.value;
  const { min, max } = axis.value;
  const stated = typeof label['label_abv'] === 'number' ? label['label_abv'] : null;
  return html`<div class="label-line">
    ${
      range.known
        ? html`<${RangeBar} min=${min} max=${max} low=${asPercent(/** @type {number} */ (range.low))}
            high=${asPercent(/** @type {number} */ (range.high))} stated=${stated}
          preferredLow=${low} preferredHigh=${high} label=${t('shelf.label_says', { range: rangeText(range) })}
              notches=${notches} />`
        : html`<span class="interval-line soft small">${t('shelf.no_number')}</span>`
    }
  </div>`;
}

/** Tell whether there is a preferred range, with which a bar is compared. */
function hasPreferred() {
  return (preferred.value.low ?? preferred.value.high) !== null;
}

/** @param {{ row: ShelfRow }} props the label's position, as a mark and a text */
export function TolerancePosition({ row }) {
  const { position } = row;
  // The row says itself that the alcohol is missing.
  if (!hasPreferred() || lacksAbv(row)) return html`<span></span>`;
  return html`<span class=${`out-of-tolerance small ${position}`}>
    <${ToleranceMark} position=${position} />
    ${t(`shelf.${position}`)}
  </span>`;
}

/** @param {{ row: ShelfRow }} props */
function Why({ row: { score, before, counted, company } }) {
  if (company) return html`<${CompanyWhy} company=${company} />`;
  const last = counted[0]?.fields;
  if (last)
    return html`<span class="voice">${last['words'] || t('shelf.tasted_before', { count: before.length })}</span>`;
  if (!score) return t(shownPalate.value === 'learning' ? 'shelf.learning_row' : 'shelf.no_palate_row');
  if (!judged.value) return null;
  const { noise_var } = palateModel.value;
  const word = likelihoodText(score, noise_var, isYoung.value);
  const sureness = surenessText(score, noise_var, isYoung.value);
  const isSample = shownPalate.value === 'example';
  return html`${isSample && `${t('shelf.sample_taster')} `}<b>
    ${isSample ? uncapitalized(word) : word}</b>. ${sureness}
    ${' '}${topReason(score, isYoung.value, targets.value, alcohol.value)}`;
}
