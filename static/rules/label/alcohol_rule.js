import data from '../../spec/label_rules.json' with { type: 'json' };
import { plainText } from '../../lib/plain_text.js';
import { number } from '../stats/numbers.js';
import { isNotWine } from './not_wine.js';

/**
 * Strengths in hundredths of a percent; see `LabelRange` in webapp/rules/alcohol_rule.py.
 * @typedef {{ known: boolean, low: number | null, high: number | null, low_exclusive: boolean, rule: string,
 *   market: string | null, status: string, assumed: string[], errors: string[] }} LabelRange
 * @typedef {{ id: string, market: string | null, tolerance: number, status: string, source: string, upto?: number,
 *   kinds?: string[], overripe_from?: number, long_kept?: boolean }} LabelRule
 * @typedef {{ id: string, market: string | null, status: string, word?: string, most?: number, above?: number
 *   }} Statement
 * @typedef {{ label_abv?: unknown, label_abv_low?: unknown, label_abv_high?: unknown, label_market?: unknown,
 *   label_words?: unknown, name?: unknown, kind?: unknown, vintage?: unknown, protected_origin?: unknown,
 *   bottle_years?: unknown }} LabelledBottle
 */

/** @type {LabelRule[]} */
const RULES = data.rules;
/** @type {Statement[]} */
const STATEMENTS = data.statements;
/** @type {Record<string, string>} */
const MARKET_ALIASES = data.same_law;

/**
 * Return the market whose rules apply in a country: EU for a member state, AU for New Zealand.
 * @param {unknown} code
 * @returns {string | null}
 */
export function legalMarket(code) {
  if (typeof code !== 'string') return null;
  if (data.eu_members.includes(code)) return 'EU';
  return Object.hasOwn(MARKET_ALIASES, code) ? /** @type {string} */ (MARKET_ALIASES[code]) : code;
}

/**
 * Find the market's first rule whose conditions the bottle meets, or may meet where it has no
 * value.
 * @param {LabelledBottle} bottle
 * @param {string | null} market
 * @param {number} stated
 * @param {string} today
 * @returns {{ rule: LabelRule, assumed: string[] }}
 */
export function ruleFor(bottle, market, stated, today) {
  const kind = bottle.kind ?? null;
  const assumed = kind === null && market !== null && data.markets_with_kinds.includes(market) ? ['kind'] : [];
  for (const rule of RULES) {
    if (rule.market !== null && rule.market !== market) continue;
    if (rule.upto !== undefined && stated > rule.upto) continue;
    if (rule.id === 'not_wine') {
      if (market === 'US' || !isNotWine(bottle.name)) continue;
      return { rule, assumed: [] };
    }
    if (rule.kinds && !(typeof kind === 'string' && rule.kinds.includes(kind))) continue;
    if (rule.overripe_from !== undefined && !labelWords(bottle).includes('overripe')) {
      // A sweet wine that is too weak for the category, such as a Beerenauslese, is none.
      if (kind !== 'sweet' || stated < rule.overripe_from) continue;
      assumed.push('overripe');
    }
    if (rule.long_kept) {
      const guesses = isLongAged(bottle, today, rule.market === 'OIV');
      if (guesses === null) continue;
      assumed.push(...guesses);
    }
    return { rule, assumed };
  }
  throw new Error('the last rule takes every bottle');
}

/**
 * Return what must be assumed for the bottle to count as long kept; null if it cannot.
 * @param {LabelledBottle} bottle
 * @param {string} today
 * @param {boolean} anyOrigin
 * @returns {string[] | null}
 */
function isLongAged(bottle, today, anyOrigin) {
  const origin = bottle.protected_origin ?? null;
  if (origin === false && !anyOrigin) return null;
  const guesses = origin === null && !anyOrigin ? ['protected_origin'] : [];
  const years = number(bottle.bottle_years, 'bottle_years');
  if (years !== null) return years > data.long_kept_over_years ? guesses : null;
  const vintage = number(bottle.vintage, 'vintage');
  if (vintage === null) return null;
  // Bottling dates are not printed; the earliest possible one is January 1 after the harvest.
  const longAgedFrom = String(Math.trunc(vintage) + 1 + data.long_kept_over_years).padStart(4, '0');
  return today <= `${longAgedFrom}-01-01` ? null : [...guesses, 'bottle_years'];
}

/**
 * @param {string} id
 * @returns {{ id: string, status: string }}
 */
export function ruleById(id) {
  const found = STATEMENTS.find((each) => each.id === id);
  if (!found) throw new Error(`no statement ${id}`);
  return found;
}

/** @param {LabelledBottle} bottle */
export function productTypeOf(bottle) {
  return labelWords(bottle).some((word) => data.us.type_words.includes(String(word)));
}

/**
 * @param {LabelledBottle} bottle
 * @returns {unknown[]}
 */
function labelWords(bottle) {
  return Array.isArray(bottle.label_words) ? bottle.label_words : [];
}

/**
 * Tell whether a label has the word, printed beside the name or within it.
 * @param {LabelledBottle} bottle
 * @param {string} word
 * @returns {boolean}
 */
function says(bottle, word) {
  const words = labelWords(bottle);
  if (words.includes(word) || !word.includes('dealcoholised')) return words.includes(word);
  const { name } = bottle;
  if (typeof name !== 'string' || words.some((each) => String(each).includes('dealcoholised'))) return false;
  const { part, whole } = data.dealcoholised_names;
  const plain = plainText(name).replaceAll(/[^a-z]/g, '');
  const isAsked = part.some((each) => plain.includes(each)) === (word === 'partially_dealcoholised');
  return isAsked && whole.some((each) => plain.includes(each));
}

/**
 * @param {{ id: string, status: string }} rule
 * @param {string | null} market
 * @param {number | null} low
 * @param {number | null} high
 * @returns {LabelRange}
 */
export function toRange(rule, market, low, high) {
  return {
    known: low !== null,
    low,
    high,
    low_exclusive: false,
    rule: rule.id,
    market,
    status: rule.status,
    assumed: [],
    errors: [],
  };
}

/**
 * Limit the tolerance to the class of the printed number (27 CFR 4.36(c)).
 * @param {LabelRange} found
 * @param {number} stated
 * @param {boolean} typed
 * @param {unknown} kind
 * @param {string | null} reading
 */
export function clampToClass(found, stated, typed, kind, reading) {
  const us = data.us;
  if (typed && stated < us.type_low) found.errors.push('below_type');
  if (typed && stated > us.type_high) found.errors.push('above_type');
  const strict = reading === 'strict14' || (reading === null && typed);
  // Sparkling wine is taxed by its carbonation, not by its strength.
  const bubbles = kind === 'sparkling' || kind === 'semi_sparkling';
  const edges = bubbles ? [] : us.tax_class_edges.map((edge) => edge.at);
  for (const edge of strict ? [us.type_class_edge, ...edges] : edges) {
    if (found.low !== null && found.low <= edge && edge < stated) {
      found.low = edge;
      found.low_exclusive = true;
    }
    if (found.high !== null && stated <= edge && edge < found.high) found.high = edge;
  }
  if (typed && found.low !== null && found.low < us.type_low && us.type_low <= stated) found.low = us.type_low;
}

/**
 * Limit the tolerance to what a word on the label means, and name the law that says so. A number that contradicts the
 * word is left with its tolerance.
 * @param {LabelRange} found
 * @param {number} stated
 * @param {LabelledBottle} bottle
 */
export function clampToWords(found, stated, bottle) {
  for (const { id, status, market, word, most = -1, above = -1 } of STATEMENTS) {
    if (!word || (market !== null && market !== found.market) || !says(bottle, word)) continue;
    if (found.high !== null && stated <= most && most < found.high) {
      Object.assign(found, { high: most, rule: id, status });
    } else if (found.low !== null && found.low <= above && above < stated) {
      Object.assign(found, { low: above, low_exclusive: true, rule: id, status });
    }
  }
}

/**
 * Report that a printed range overlaps the limit of a class, and limit it to the class of its type
 * (27 CFR 4.36(c)).
 * @param {LabelRange} found
 * @param {[number, number]} printed
 * @param {boolean} typed
 * @param {unknown} kind
 * @param {string | null} reading
 */
export function clampPrintedRange(found, [low, high], typed, kind, reading) {
  const us = data.us;
  if (typed && low < us.type_low) found.errors.push('below_type');
  if (typed && high > us.type_high) found.errors.push('above_type');
  const strict = reading === 'strict14' || (reading === null && typed);
  const bubbles = kind === 'sparkling' || kind === 'semi_sparkling';
  const edges = bubbles ? [] : us.tax_class_edges.map((edge) => edge.at);
  if ((strict ? [us.type_class_edge, ...edges] : edges).some((edge) => low <= edge && edge < high))
    found.errors.push('range_over_class');
  if (!typed || low > us.type_high || high < us.type_low) return;
  if (found.low !== null && found.high !== null) {
    found.low = Math.max(found.low, us.type_low);
    found.high = Math.min(found.high, us.type_high);
  }
}
