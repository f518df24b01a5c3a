// Compares the sweetness term on the label with the measured sugar and acidity.
import sweetness from '../../spec/sweetness.json' with { type: 'json' };
import { hasMessage, t } from '../../i18n.js';
import { list, number } from '../../lib/format.js';
import { legalMarket } from '../../rules/label/alcohol_rule.js';
import { withMarket } from '../lawful_range.js';
import { cachedSettings } from '../units.js';
import { sweetnessAgrees, sweetnessScale, sweetnessTerms } from '../../rules/label/sweetness.js';

/** @typedef {Record<string, any>} Fields */

/**
 * @param {Fields} bottle
 * @returns {string | null} the terms that the measured sugar allows
 */
export function labelSweetness(bottle) {
  const scale = scaleOf(bottle);
  const sugar = bottle['residual_sugar_gl'] ?? null;
  if (!scale || sugar === null) return null;
  const { terms, possible } = sweetnessTerms(scale, sugar, bottle['total_acidity_gl'] ?? null);
  const termTexts = [...terms, ...possible].map((term) =>
    t(hasMessage(`label_words.${term}`) ? `label_words.${term}` : `pour.term_${term}`),
  );
  const figures = { sugar: number(sugar), terms: list(termTexts) };
  return termTexts.length ? t(possible.length ? 'pour.label_might_say' : 'pour.label_may_say', figures) : null;
}

/**
 * @param {Fields} bottle
 * @returns {{ term: string, code: string } | null} whether the printed term agrees with the
 *   measured sugar
 */
export function printedSweetness(bottle) {
  const scale = scaleOf(bottle);
  const sugar = bottle['residual_sugar_gl'] ?? null;
  if (!scale || sugar === null) return null;
  const ofScale = sweetness.scales.find((candidate) => candidate.id === scale)?.terms.map((term) => term.id) ?? [];
  const term = (bottle['label_words'] ?? []).find((/** @type {string} */ candidate) => ofScale.includes(candidate));
  return term ? { term, code: sweetnessAgrees(scale, term, sugar, bottle['total_acidity_gl'] ?? null) } : null;
}

/** @param {Fields} bottle */
function scaleOf(bottle) {
  return sweetnessScale(
    bottle['kind'] ?? null,
    legalMarket(withMarket(bottle, cachedSettings()['market'])['label_market'] ?? null),
    bottle['vintage'] ?? null,
  );
}
