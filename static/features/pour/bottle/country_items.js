// Countries with names in the phone's language; those with styles come first.
import { locale } from '../../../i18n.js';
import { plainText } from '../../../lib/plain_text.js';
import { countriesOf, stylesById } from '../../../domain/style_names.js';

// ISO 3166-1 alpha-2 codes of wine-growing countries.
const GRAPE_COUNTRIES = (
  'AD AE AF AL AM AR AT AU AZ BA BE BG BO BR BY CA CH CL CN CO CR CU CV CY CZ DE DK DO DZ EC EE EG ES ' +
  'ET FI FR GB GE GR GT HN HR HU IE IL IN IQ IR IS IT JO JP KE KG KR KZ LB LI LT LU LV LY MA MC MD ME ' +
  'MG MK MM MT MX NA NI NL NO NZ PA PE PH PK PL PS PT PY RO RS RU SA SE SI SK SM SN SV SY TH TJ TM TN ' +
  'TR TW TZ UA US UY UZ VA VE VN ZA ZW'
).split(' ');

/** @returns {import('../../../components/form/search_select.js').Item[]} */
export function countryItems() {
  const names = new Intl.DisplayNames([locale()], { type: 'region' });
  const known = [...stylesById.values()].flatMap(countriesOf);
  const countOf = (/** @type {string} */ code) => known.filter((country) => country === code).length;
  return GRAPE_COUNTRIES.map((code) => ({
    id: code,
    label: names.of(code) ?? code,
    find: `${plainText(names.of(code) ?? code)} ${code.toLowerCase()}`,
  })).sort((a, b) => countOf(b.id) - countOf(a.id) || a.label.localeCompare(b.label, locale()));
}
