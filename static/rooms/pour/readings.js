// Small readings beside what is being judged: how dry, how long, how much there is in it. They follow the judgement and never lead it.
import sweetness from '../../spec/sweetness.json' with { type: 'json' };
import { html } from '../../ui.js';
import { hasWords, t } from '../../words.js';
import { list, number } from '../../formats.js';
import { legalMarket } from '../../trade/label_rule.js';
import { complexityEvidence } from '../../trade/nose.js';
import { drynessReading, finishReading } from '../../trade/readings.js';
import { sweetnessAgrees, sweetnessScale, sweetnessTerms } from '../../trade/sweetness.js';
import { isCovered, sound } from './in_hand.js';

/** @typedef {Record<string, any>} Fields */

/** Dry, bone dry and what marks it, or the degree of sweetness; beneath it the words that the law allows on the label. */
export function Dryness() {
  const tasting = sound('tasting');
  const { code, because } = drynessReading(tasting['sweetness'] ?? null, tasting['acidity'] ?? null, tasting['tannin'] ?? null);
  const marks = list(because.map((scale) => t(`scale.${scale}`).toLocaleLowerCase()));
  const printed = isCovered.value ? null : labelSweetness(sound('bottle'));
  if (!code && !printed) return null;
  return html`<div class="reading" role="status">${code && html`<p>${t(because.length ? 'pour.reads_as_because' : 'pour.reads_as', { reading: t(`pour.dryness_${code}`), because: marks })}</p>`}
    ${printed && html`<p class="small soft">${printed}</p>`}</div>`;
}

/** @param {Fields} bottle @returns {string | null} what the measured sugar allows the label to say */
export function labelSweetness(bottle) {
  const scale = scaleOf(bottle);
  const sugar = bottle['residual_sugar_gl'] ?? null;
  if (!scale || sugar === null) return null;
  const { terms, possible } = sweetnessTerms(scale, sugar, bottle['total_acidity_gl'] ?? null);
  const words = [...terms, ...possible].map((term) => t(hasWords(`label_words.${term}`) ? `label_words.${term}` : `pour.term_${term}`));
  const figures = { sugar: number(sugar), terms: list(words) };
  return words.length ? t(possible.length ? 'pour.label_might_say' : 'pour.label_may_say', figures) : null;
}

/** @param {Fields} bottle @returns {{ word: string, code: string } | null} whether the printed word fits the measured sugar */
export function printedSweetness(bottle) {
  const scale = scaleOf(bottle);
  const sugar = bottle['residual_sugar_gl'] ?? null;
  if (!scale || sugar === null) return null;
  const ofScale = sweetness.scales.find((candidate) => candidate.id === scale)?.terms.map((term) => term.id) ?? [];
  const word = (bottle['label_words'] ?? []).find((/** @type {string} */ candidate) => ofScale.includes(candidate));
  return word ? { word, code: sweetnessAgrees(scale, word, sugar, bottle['total_acidity_gl'] ?? null) } : null;
}

/** @param {Fields} bottle */
function scaleOf(bottle) {
  return sweetnessScale(bottle['kind'] ?? null, legalMarket(bottle['label_market'] ?? null), bottle['vintage'] ?? null);
}

/** How long the finish is, in the trade's words. */
export function FinishWords() {
  const seconds = sound('tasting')['finish_s'] ?? null;
  const code = finishReading(seconds);
  return code && html`<p class="reading" role="status">${t('pour.reads_as', { reading: t(`pour.finish_${code}`) })}</p>`;
}

/** The evidence for complexity, counted from the words noted. */
export function ComplexityCounted() {
  const { words, families, changes, reading } = complexityEvidence(sound('tasting'));
  if (!reading) return html`<p class="field-note">${t('pour.nothing_counted')}</p>`;
  return html`<p class="reading" role="status">${list([t('pour.words_noted', { count: words }), t('pour.families_noted', { count: families }), t('pour.changes_noted', { count: changes })])}${t('pour.counted_as', { reading: t(`pour.counted_${reading}`) })}</p>`;
}
