// How alike the ratings of the same wine are.
import { number } from '../../lib/format.js';
import { t } from '../../i18n.js';

/** From the sd of one rating to the usual difference of two. */
const TWO_RATINGS = Math.SQRT2;
/** The most that two ratings from 1 to 9 can differ. */
const WHOLE_SCALE = 8;

/** @param {import('./document.js').Repeatability} repeatability @returns {string} empty without repeats */
export function steadyText({ within_sd, limit, level }) {
  if (within_sd === null || limit === null) return '';
  const said = saidOf(within_sd, limit);
  return level === 'few' ? `${said} ${t('palate.steady_few')}` : said;
}

/** @param {number} sd @param {number} limit */
function saidOf(sd, limit) {
  if (sd === 0) return t('palate.steady_same');
  // No two ratings can be that far apart, so the limit says nothing.
  if (limit >= WHOLE_SCALE) return t('palate.steady_far');
  return t('palate.steady_said', { change: number(TWO_RATINGS * sd), limit: number(limit) });
}
