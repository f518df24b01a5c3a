// The displayed names of a wine, a bottle and a pour.
import { abv, number } from '../lib/format.js';
import { t } from '../i18n.js';
import { resolveMerged } from '../rules/tasting/resolve_merged.js';
import { isLabelHidden } from './blind/glasses.js';
import { vintageText } from './vintage_text.js';
import { styleName } from './style_names.js';

/** @typedef {import('../store/record.js').Row} Row */
/** @typedef {Map<string, Row>} Bottles */

/**
 * Return the bottle of a tasting or pick, after merges of duplicates.
 * @param {Bottles} bottles
 * @param {string | null | undefined} id
 * @returns {Row | null}
 */
export function resolveBottle(bottles, id) {
  return resolveMerged(bottles, id, (row) => row.fields['merged_into']) ?? null;
}

/**
 * Return the name on the label, else the style, then the vintage unless the name contains it.
 * @param {Record<string, any>} fields of a bottle
 */
export function wineName(fields) {
  const name = fields['name'] || styleName(fields['style']) || t('app.unnamed');
  const vintage = vintageText(fields);
  return vintage && !name.includes(vintage) ? `${name} ${vintage}` : name;
}

/** Return the name as wineName does, unless the label is hidden. @param {Row | null | undefined} bottle */
export function bottleName(bottle) {
  return bottle?.fields['covered'] ? t('book.covered') : wineName(bottle?.fields ?? {});
}

/**
 * Name the bottle of a pour as `bottleName()` does; a glass whose label is hidden goes by its mark.
 * @param {Row} pour
 * @param {Bottles} bottles
 */
export function pourName(pour, bottles) {
  const bottle = resolveBottle(bottles, pour.fields['bottle']);
  return isLabelHidden(pour) || bottle?.fields['covered']
    ? hiddenName(pour.fields['flight_mark'])
    : wineName(bottle?.fields ?? {});
}

/** @param {string | null | undefined} mark of a glass whose label is hidden */
export function hiddenName(mark) {
  return mark ? t('pour.hidden_marked', { mark }) : t('pour.hidden');
}

/**
 * Return the small line under the name. The alcohol comes first, so that a long style name cannot
 * push it out.
 * @param {Row | null | undefined} bottle
 */
export function bottleLine(bottle) {
  if (!bottle || bottle.fields['covered']) return '';
  // Where there is no name, the style is the name.
  const style = bottle.fields['name'] ? styleName(bottle.fields['style']) : '';
  return [labelAbv(bottle), style].filter(Boolean).join(' \u00b7 ');
}

/**
 * Return the alcohol as printed: one number, a range, or an empty text.
 * @param {Row | null | undefined} bottle
 */
export function labelAbv(bottle) {
  const { label_abv, label_abv_low, label_abv_high } = bottle?.fields ?? {};
  if (isNumber(label_abv)) return abv(label_abv);
  if (isNumber(label_abv_low) && isNumber(label_abv_high))
    return `${number(label_abv_low)}\u2013${abv(label_abv_high)}`;
  return '';
}

/** @param {unknown} value @returns {value is number} */
export function isNumber(value) {
  return typeof value === 'number' && Number.isFinite(value);
}
