// Text for a vintage: the year, or that the wine has none.
import { t } from '../i18n.js';

/**
 * @param {Record<string, any>} fields of a bottle
 * @returns {string | null}
 */
export function vintageText({ vintage, non_vintage }) {
  if (vintage) return String(vintage);
  return non_vintage ? t('vintage.none') : null;
}

/**
 * Return what finds a vintage in a search: for a wine without one every abbreviation, and the words in full.
 * @param {Record<string, any>} fields of a bottle
 */
export function vintageSearchText({ vintage, non_vintage }) {
  if (vintage) return String(vintage);
  return non_vintage ? `NV NM SA ${t('vintage.none_said')}` : null;
}
