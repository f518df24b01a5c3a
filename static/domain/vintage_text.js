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
