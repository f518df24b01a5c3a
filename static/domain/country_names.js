// Country names in the user's language.
import { locale } from '../i18n.js';

/** @type {Map<string, Intl.DisplayNames>} */
const names = new Map();

/**
 * @param {string | null | undefined} code ISO 3166-1 alpha-2
 * @param {string} [language]
 */
export function countryName(code, language = locale()) {
  if (!code) return '';
  const known = names.get(language) ?? new Intl.DisplayNames(language, { type: 'region' });
  names.set(language, known);
  try {
    return known.of(code) ?? code;
  } catch {
    return code;
  }
}
