// Currencies by ISO 4217 code, searchable by code or name.
import { locale } from '../i18n.js';
import { plainText } from '../lib/plain_text.js';

/** @returns {import('../components/form/search_select.js').Item[]} */
export function currencyItems() {
  const names = new Intl.DisplayNames(locale(), { type: 'currency' });
  return Intl.supportedValuesOf('currency').map((code) => ({
    id: code,
    label: code,
    note: names.of(code) ?? code,
    find: plainText(`${code} ${names.of(code) ?? ''}`),
  }));
}
