// How amounts of a currency are written.
import { numberFormat } from './intl_cache.js';

/**
 * Tell whether three digits after a mark are thousands: a dinar has a thousand parts, so "12.500" has decimals there.
 * @param {string | null | undefined} currency ISO 4217
 */
export function groupsThousands(currency) {
  if (!currency) return true;
  return (numberFormat('en', { style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2) < 3;
}
