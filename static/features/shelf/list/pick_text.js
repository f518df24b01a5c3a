// Texts of one pick: the line under its name, and its price.
import { price, volume } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { labelAbv } from '../../../domain/bottle_names.js';
import { styleName } from '../../../domain/style_names.js';
import { cachedSettings } from '../../../domain/units.js';
import { USUAL_ML } from './sort.js';

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */

/** From here on, the broken part of an amount is too fine for an estimate. */
const WHOLE_FROM = 10;

/** @param {ShelfRow} row */
export function pickLine({ pick, bottle }) {
  const sample = pick.fields['example'] === true && t('app.sample');
  if (bottle?.fields['covered']) return [sample, priceText(pick)].filter(Boolean).join(' \u00b7 ');
  return [sample, priceText(pick), sizeText(bottle), labelAbv(bottle), styleName(bottle?.fields['style'])]
    .filter(Boolean)
    .join(' \u00b7 ');
}

/** @param {import('../../../store/record.js').Row | null} bottle @returns {string} empty for the usual size */
function sizeText(bottle) {
  const size = bottle?.fields['volume_ml'] ?? USUAL_ML;
  return size === USUAL_ML ? '' : volume(size, cachedSettings()['volume_unit']);
}

/** @param {import('../../../store/record.js').Row} pick */
export function priceText({ fields }) {
  return typeof fields['price'] === 'number' ? price(fields['price'], fields['currency']) : '';
}

/** @param {number} amount estimated @param {string | null | undefined} currency */
export function estimatedPrice(amount, currency) {
  return price(amount < WHOLE_FROM ? amount : Math.round(amount), currency);
}
