// The name of a country in the taster's language.
import { locale } from '../../words.js';

/** @param {string | null | undefined} code ISO 3166-1 alpha-2 */
export function countryName(code) {
  if (!code) return '';
  try {
    return new Intl.DisplayNames(locale(), { type: 'region' }).of(code) ?? code;
  } catch {
    return code;
  }
}
