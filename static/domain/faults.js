// Texts of the faults of a wine, and whether its tasting says anything about the wine as it should be.
import { t } from '../i18n.js';
import { parseEntry } from './aroma/entry.js';

/** @param {Record<string, any>} fields of a tasting @returns {string} such as "corked, Brett", or empty */
export function faultText(fields) {
  return (fields['faults'] ?? [])
    .map((/** @type {string} */ entry) => t(`fault.${parseEntry(entry).aroma}`))
    .join(', ');
}

/** Return the text of faultText with strengths. @param {Record<string, any>} fields of a tasting */
export function gradedFaultText(fields) {
  return (fields['faults'] ?? [])
    .map((/** @type {string} */ text) => {
      const { aroma: fault, strength } = parseEntry(text);
      return strength ? `${t(`fault.${fault}`)} (${t(`book.strength_${strength}`)})` : t(`fault.${fault}`);
    })
    .join(', ');
}

/**
 * Tell whether to leave a tasting out of what is learned: its bottle was faulty, and the taster did not let it count.
 * @param {Record<string, any>} fields of a tasting
 */
export function isLeftOut(fields) {
  return Boolean(fields['faults']?.length) && fields['fault_counts'] !== true;
}
