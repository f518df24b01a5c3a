// The age of a hidden wine, guessed as the vintage that the label would print; the record stores the age.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { TextField } from '../../components/form/field.js';
import { setFields, values } from '../../domain/pour/current_pour.js';

const OLDEST_YEARS = 200;
const A_YEAR = /^\d{4}$/;

/** @param {Record<string, any>} tasting by the calendar of the place where it was tasted */
export function yearTasted({ tasted_at }) {
  return tasted_at ? Number(tasted_at.slice(0, 4)) : new Date().getFullYear();
}

export function GuessedVintage() {
  const age = values.tasting.value['guess_age_years'] ?? null;
  const year = yearTasted(values.tasting.value);
  const said = Number.isInteger(age) ? String(year - age) : '';
  const [text, setText] = useState(said);
  useEffect(() => {
    if (readAge(text, year) !== age) setText(said);
  }, [age]);
  const type = (/** @type {string | null} */ typed) => {
    setText(typed ?? '');
    const read = typed ? readAge(typed, year) : null;
    if (read !== null || !typed) setFields('tasting', { guess_age_years: read });
  };
  const isWrong = text.length >= 4 && readAge(text, year) === null;
  // A year is formatted as text, because numbers get a thousands separator.
  const bounds = { low: String(year - OLDEST_YEARS), high: String(year) };
  return html`<${TextField} label=${t('pour.guess_vintage')} value=${text} maxLength=${4} inputmode="numeric"
      onChange=${type} error=${isWrong ? t('pour.guess_vintage_wrong', bounds) : null} />`;
}

/** @param {string} text @param {number} year @returns {number | null} null where it is not a year yet */
function readAge(text, year) {
  const age = A_YEAR.test(text.trim()) ? year - Number(text) : -1;
  return age >= 0 && age <= OLDEST_YEARS ? age : null;
}
