// Computes the rows of the shelf: position of the label and predicted liking of each pick.
import { printedPosition } from '../../../rules/label/alcohol_range.js';
import { scoreBottle } from '../../../rules/palate/score.js';
import { middleAbv } from '../../../domain/bottle/abv.js';
import { aboutTasted, knownReasons } from '../../../domain/palate/text.js';
import { companyScore } from '../../../rules/palate/company.js';
import { informationGain } from '../../../rules/palate/information_gain.js';
import vocabularies from '../../../spec/vocabularies.json' with { type: 'json' };
import { resolveBottle } from '../../../domain/bottle_names.js';
import { isLeftOut } from '../../../domain/faults.js';
import { lawfulRange } from '../../../domain/lawful_range.js';
import { styleOf } from '../../../domain/style_names.js';
import { ME } from './company_state.js';
import { comparedPrice } from './compared_price.js';

/**
 * @typedef {import('../../../store/record.js').Row} Row
 * @typedef {import('../../../store/record.js').Fields} Fields
 * @typedef {import('./company_state.js').CompanyPalate} CompanyPalate
 * @typedef {import('../../../rules/label/alcohol_rule.js').LabelRange} LabelRange
 * @typedef {import('../../../rules/palate/score.js').Score} Score
 * @typedef {import('../../../rules/palate/score.js').ShelfBottle} ShelfBottle
 * @typedef {import('../../../rules/palate/company.js').CompanyScore} CompanyScore
 * @typedef {{ members: { id: string, score: Score, noise_var: number }[], found: CompanyScore }} CompanyForecast
 * @typedef {{ low: number | null, high: number | null }} AbvRange per cent; null is an open end
 * @typedef {{ pick: Row, bottle: Row | null, label: Fields, range: LabelRange, position: 'inside' |
 *   'may_stray' | 'outside', score: Score | null, company: CompanyForecast | null, informationGain: () => number |
 *   null, before: Row[], counted: Row[], price: number | null }} ShelfRow `position` is that of the printed number;
 *   `company` is null for the owner alone; `informationGain` is computed on demand, because only one sort order needs
 *   it; `counted` is `before` without the faulty bottles; `price` is null if it cannot be compared
 * @typedef {object} OnTheShelf
 * @property {Row[]} picks
 * @property {Map<string, Row>} bottles
 * @property {Map<string, Row[]>} tastings by bottle, newest first
 */

/**
 * @typedef {object} By
 * @property {AbvRange} preferred
 * @property {any} compact the palate's compact form, or null if there is none yet
 * @property {string} today
 * @property {string | null} [market]
 * @property {CompanyPalate[]} [company] palates of the people, with the owner as ME if chosen
 * @property {string | null} [currency] in which prices are compared
 */

/**
 * @param {OnTheShelf} shelf
 * @param {By} by
 * @returns {ShelfRow[]}
 */
export function shelfRows({ picks, bottles, tastings }, by) {
  const { preferred, compact, today, market = null, company = [], currency = null } = by;
  return picks.map((pick) => {
    const bottle = resolveBottle(bottles, pick.fields['bottle']);
    const before = (bottle && tastings.get(bottle.id)) ?? [];
    const counted = before.filter(({ fields }) => !isLeftOut(fields));
    const label = toLabel(bottle?.fields ?? {});
    const range = lawfulRange(label, market, today);
    const asked = asScored(label, counted);
    const score = compact && scoreOf(compact, asked);
    return {
      pick,
      bottle,
      label,
      range,
      position: printedPosition(label, range, preferred),
      score,
      company: forecast(company, score, asScored(label, [])),
      informationGain: () => compact && informationGain(compact, asked),
      before,
      counted,
      price: comparedPrice(pick, currency),
    };
  });
}

/** @param {import('../../../rules/palate/score.js').Compact} compact @param {ShelfBottle} asked */
function scoreOf(compact, asked) {
  const score = scoreBottle(compact, asked);
  return { ...score, reasons: aboutTasted(score.reasons, (style) => style in compact.style_effects) };
}

/**
 * Score a bottle for everybody. The owner's own ratings of it say nothing of how others use the scales, so their scores
 * follow from style and label alone.
 * @param {CompanyPalate[]} company
 * @param {Score | null} own the owner's score
 * @param {ShelfBottle} asked
 * @returns {CompanyForecast | null}
 */
function forecast(company, own, asked) {
  const members = company.map(({ id, compact, known = {} }) => {
    const score = id === ME && own ? own : scoreOf(compact, asked);
    return { id, score: { ...score, reasons: knownReasons(score.reasons, known) }, noise_var: compact.noise_var };
  });
  const found = companyScore(members);
  return found && { members, found };
}

/**
 * Complete a bottle's kind and colour from its style. A hidden label counts as unknown.
 * @param {Fields} fields
 * @returns {Fields}
 */
export function toLabel(fields) {
  if (fields['covered']) return { covered: true };
  const style = styleOf(fields['style']);
  return { ...fields, kind: fields['kind'] ?? style?.kind ?? null, colour: fields['colour'] ?? style?.colour ?? null };
}

/**
 * Build the input of the prediction: style, or colour and kind, label, analysis, and the bottle's last ratings.
 * @param {Fields} label
 * @param {Row[]} before
 */
function asScored(label, before) {
  const judged =
    before.find((row) => vocabularies.vocabularies.scale.some((name) => typeof row.fields[name] === 'number'))
      ?.fields ?? {};
  const values = Object.fromEntries(vocabularies.vocabularies.scale.map((name) => [name, judged[name] ?? null]));
  return {
    style: label['style'] ?? null,
    colour: label['colour'] ?? judged['look_colour'] ?? null,
    kind: label['kind'] ?? null,
    label_abv: middleAbv(label),
    residual_sugar_gl: label['residual_sugar_gl'] ?? null,
    total_acidity_gl: label['total_acidity_gl'] ?? null,
    ...values,
  };
}
