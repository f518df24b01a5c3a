// A bottle's forecast for company: a figure for the row, a line for each person in the details.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { number } from '../../../lib/format.js';
import { ValueWithBar } from '../../../components/chart/value_with_bar.js';
import { nameOf } from './company_state.js';
import { companyText, reasonsInShort } from './company_text.js';
import { confidenceText, expectedScore, interval68, likedOfTen } from './prediction_text.js';

/** @typedef {import('./shelf_rows.js').ShelfRow} ShelfRow */
/** @typedef {import('./shelf_rows.js').CompanyForecast} CompanyForecast */

/** @param {{ company: CompanyForecast }} props the mean, with a bar from the least to the most pleased person */
export function CompanyExpected({ company: { members, found } }) {
  const means = members.map(({ score }) => score.mean);
  const text = t('shelf.company_expected', { figure: number(found.mean), least: number(found.least.mean) });
  return html`<${ValueWithBar} figure=${`~${expectedScore(found)}`} text=${text} min=${1} max=${9}
    span=${[Math.min(...means), Math.max(...means)]} />`;
}

/** @param {{ company: CompanyForecast }} props */
export function CompanyWhy({ company: { members, found } }) {
  const { verdict, because } = companyText(found, members.length);
  return html`<b>${verdict}</b>${because && ` ${because}`}`;
}

/** @param {{ company: CompanyForecast }} props each person's forecast with certainty and reasons */
export function CompanyDetail({ company: { members, found } }) {
  const tenths = likedOfTen({ p_like: found.all_like });
  return html`<p>${tenths ? t('shelf.company_chance', { tenths }) : t('shelf.company_chance_low')}</p>
    <ul class="ruled company-list">${members.map(
      ({ id, score, noise_var }) => html`<li key=${id}>
        <div class="company-line">
          <span class="name">${nameOf(id)}</span>
          <${ValueWithBar} figure=${`~${expectedScore(score)}`} min=${1} max=${9} span=${interval68(score)}
            text=${t('shelf.company_one', { figure: number(score.mean), tenths: likedOfTen(score) })} />
        </div>
        <p class="soft small">${t('shelf.known_said', { known: confidenceText(score, noise_var) })}
          ${' '}${reasonsInShort(score.reasons)}</p>
      </li>`,
    )}</ul>`;
}
