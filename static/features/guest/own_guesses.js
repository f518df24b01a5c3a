// The guest's own guesses against the label, in words.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { abv, number } from '../../lib/format.js';
import { ownGuesses } from '../../domain/guest/own_guesses.js';
import { glassesOf } from '../../domain/guest/place.js';
import { styleName } from '../../domain/style_names.js';
import { glassName } from './glass_row.js';

/** @typedef {import('../../domain/guest/own_guesses.js').Verdict} Verdict */
/** @typedef {import('../../domain/guest/guest_store.js').View} View */

/**
 * @param {{ view: View, glass: import('../../domain/guest/place.js').GuestGlass, values: Record<string, any> }} props
 */
export function OwnGuesses({ view, glass, values }) {
  const verdicts = ownGuesses(view, glass, values);
  if (!verdicts.length) return null;
  return html`<section class="guest-part"><h2>${t('guest.guesses')}</h2><dl class="guest-guesses">${verdicts.map(
    (each) => html`<div key=${each.field} data-verdict=${each.verdict}><dt>${t(`guest.${each.field}`)}</dt>
      <dd><span>${t('guest.you_said', { guess: shown(view, each, each.guess) })}</span>
        <strong>${verdictText(view, each, glass)}</strong></dd></div>`,
  )}</dl></section>`;
}

/** @param {View} view @param {Verdict} verdict @param {any} value @returns {string} */
function shown(view, { field }, value) {
  if (field === 'guess_abv') return abv(value);
  if (field === 'guess_age_years') return t('pour.year_count', { count: value });
  if (field === 'guess_style') return styleName(value) || String(value);
  if (field !== 'guess_same_as') return String(value);
  const other = glassesOf(view).find(({ id }) => id === value);
  return other ? glassName(other) : '';
}

/**
 * @param {View} view
 * @param {Verdict} verdict
 * @param {import('../../domain/guest/place.js').GuestGlass} glass
 * @returns {string}
 */
function verdictText(view, verdict, { bottle }) {
  const { field, truth, off } = verdict;
  if (field === 'guess_same_as') return t(`guest.same_${verdict.verdict}`);
  const hasNoVintage = field === 'guess_age_years' && bottle?.['non_vintage'];
  if (verdict.verdict === 'unknown') return t(hasNoVintage ? 'table.no_vintage' : `table.unknown_${field}`);
  const text = shown(view, verdict, truth);
  if (off === null || verdict.verdict === 'right') return t(`guest.verdict_${verdict.verdict}`, { truth: text });
  const size = field === 'guess_abv' ? number(Math.abs(off)) : number(Math.abs(off), 0);
  return t(`guest.${field}_${off > 0 ? 'over' : 'under'}`, { truth: text, off: size });
}
