// What is said of a bottle's vintage: its year, or that the label names none.
import { t } from '../i18n.js';

/** @param {Record<string, any>} fields of a bottle @returns {string | null} */
export function vintageSaid({ vintage, non_vintage }) {
  if (vintage) return String(vintage);
  return non_vintage ? t('vintage.none') : null;
}
