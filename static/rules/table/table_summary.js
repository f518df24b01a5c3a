import { duplicateSummary } from './duplicate_summary.js';
import { glassSummary } from './glass_summary.js';
import { likingRanking } from './liking_ranking.js';
import { scaleAgreement } from './scale_agreement.js';
import { countAnswers, SCALES, sheetGrid } from './sheet_grid.js';
import { tasteMap } from './taste_map.js';

/**
 * What the results page of a led tasting shows: codes and numbers, no texts.
 *
 * @typedef {Record<string, any>} Fields values by field name; null or absent means "no value"
 *
 * Input
 *
 * @typedef {Object} TableGlass in pouring order
 * @property {string} id
 * @property {string} mark what is written at the foot of the glass: "A", "1", ...
 * @property {Fields | null} [bottle] fields of kind `bottle`; absent while the label is hidden
 * @property {string | null} [sameAs] id of the glass that has the same wine (hidden duplicate); set it on either glass
 *
 * @typedef {{ id: string, name: string }} TableGuest
 * @typedef {{ glass: string, guest: string, fields: Fields }} TableSheet fields are named as in kind `tasting`;
 *   `same_as`: id of the glass that the guest thinks has the same wine
 * @typedef {{ glasses: TableGlass[], guests: TableGuest[], sheets: TableSheet[], on?: string | null }} LedTable `on`
 *   is the day (ISO 8601), for the age of a vintage; sheets of unknown guests or glasses are ignored
 *
 * Output; guests and glasses are given by their ids
 *
 * @typedef {Object} Dot
 * @property {string} guest
 * @property {number} value
 *
 * @typedef {Object} Line values of all guests for one glass and field; quartiles are null if n is 0
 * @property {Dot[]} dots ascending by value, then in the order of the guests
 * @property {number} n
 * @property {number | null} low lower quartile
 * @property {number | null} median
 * @property {number | null} high upper quartile
 *
 * @typedef {Object} AromaCount
 * @property {string} aroma id of the aroma, or `~own words` as first written
 * @property {boolean} own
 * @property {string[]} guests who noted it on any step, in the order of the guests
 * @property {number} strength sum of the guests' strengths (1-3; 1 where none was given)
 *
 * @typedef {Object} GuessList guesses of one quantity for one glass
 * @property {number | null} truth from the bottle; null while hidden or unknown
 * @property {{ guest: string, value: number, off: number | null }[]} guesses nearest first once the truth is known;
 *   `off` is guess minus truth
 * @property {string[]} closest guests with the smallest error
 *
 * @typedef {Object} WordGuesses guesses of style (id) or grape (text)
 * @property {string | null} truth
 * @property {{ guest: string, value: string, right: boolean | null }[]} guesses
 *
 * @typedef {Object} GlassSummary
 * @property {string} glass
 * @property {string} mark
 * @property {number} sheets how many guests noted anything
 * @property {Record<string, Line>} lines by field: liking, the scales, balance, complexity, bitterness,
 *   finish_s; only fields that some guest filled
 * @property {AromaCount[]} aromas most guests first
 * @property {Record<string, { value: string | number, guests: string[] }[]>} choices by field (look_colour, would_buy,
 *   just_right_acidity, ...): most guests first; only fields that some guest filled
 * @property {{ guest: string, text: string }[]} texts own words of the guests
 * @property {{ abv: GuessList, age_years: GuessList, style: WordGuesses, grape: WordGuesses }} guesses lists are empty
 *   where nobody guessed
 *
 * @typedef {'tested' | 'too_few_guests' | 'too_few_glasses' | 'all_tied'} TestStatus why there is no test, if there is
 *   none; a test needs 3 guests in `used` and 3 `glasses`
 *
 * @typedef {Object} Ranking order of the glasses by liking
 * @property {TestStatus} status
 * @property {string[]} glasses that at least half of the guests with some liking rated, in pouring order
 * @property {string[]} used guests with a liking for each of `glasses`
 * @property {string[]} left_out guests with some liking, but not for each of `glasses`
 * @property {{ glass: string, rank_sum: number | null, mean_rank: number | null, median: number }[]} order best first:
 *   by median, then by rank sum (least liked has rank 1, so the highest sum is best); those without a rank sum last
 * @property {number | null} f Friedman's statistic, corrected for ties
 * @property {number | null} w Kendall's coefficient of concordance, corrected for ties, 0-1
 * @property {number | null} p probability of such agreement by chance
 * @property {'exact' | 'permutation' | 'chi_square' | null} method of p
 * @property {'agreed' | 'hint' | 'not_shown' | null} reading p at most 0.05; at most 0.2; more
 * @property {number | null} least_difference of rank sums at 5 % (ISO 8587)
 * @property {{ better: string, worse: string, difference: number }[]} told_apart pairs of different wines, none against
 *   `order`; empty unless `reading` is `agreed`
 *
 * @typedef {Object} ScaleAgreement
 * @property {string} field
 * @property {'measured' | 'too_few_guests' | 'too_few_glasses' | 'no_variation'} status
 * @property {string[]} glasses
 * @property {string[]} used guests with a value for each of `glasses`; 3 of them and 3 glasses are needed
 * @property {number | null} icc ICC(2,1) of Shrout and Fleiss: agreement in absolute value of single guests
 * @property {number | null} icc_consistency ICC(3,1): agreement apart from each guest's own level
 * @property {number | null} distance mean difference of two guests on the same glass, in points of the scale
 * @property {import('./scale_reading.js').Reading | null} reading
 *
 * @typedef {Object} Steadiness of one guest on the hidden duplicate
 * @property {string} guest
 * @property {[number, number] | null} likings of the two glasses; null without both
 * @property {'steady' | 'between' | 'unsteady' | 'no_spread' | 'too_few'} reading
 * @property {number | null} share `difference` / `typical`, over all fields
 * @property {Record<string, { difference: number, typical: number | null }>} fields `difference` between the two
 *   glasses; `typical` is the mean difference between two glasses of different wines, of the same guest
 *
 * @typedef {Object} DuplicateSummary
 * @property {[string, string]} glasses
 * @property {Steadiness[]} guests who noted some scale or a liking in both glasses
 * @property {string[]} found guests who named the pair
 * @property {string[]} missed guests who named another pair
 * @property {{ p: number, reading: 'told_apart' | 'hint' | 'not_shown' | 'nothing_tried', needed: number | null }} test
 *   exact binomial test of `found`; with three glasses this is the triangle test of ISO 4120
 * @property {number} chance of finding the pair by guessing
 *
 * @typedef {Object} TasteMap whose likings are close
 * @property {'drawn' | 'too_few_guests' | 'too_few_glasses'} status needs 3 guests with 3 common glasses
 * @property {string[]} guests with 3 likings; rows of the matrix and of the layout
 * @property {(number | null)[][]} distances root mean square difference of likings, in points, each guest's mean level
 *   removed; null for two guests with fewer than 3 common glasses
 * @property {{ guest: string, x: number, y: number }[]} layout classical scaling, in points of liking; empty unless
 *   `status` is `drawn`
 * @property {number | null} shown share of the squared distances that the layout keeps, 0-1
 * @property {{ guest: string, closest: string | null, distance: number | null }[]} closest for each guest
 *
 * @typedef {Object} TableSummary
 * @property {{ glasses: number, guests: number, sheets: number }} counts guests who noted anything
 * @property {GlassSummary[]} glasses in pouring order
 * @property {Ranking} ranking
 * @property {ScaleAgreement[]} scales that some guest used
 * @property {DuplicateSummary | null} duplicate null without a hidden duplicate
 * @property {TasteMap} tastes
 */

/**
 * Summarize a led tasting.
 * @param {LedTable} table
 * @returns {TableSummary}
 */
export function tableSummary(table) {
  const grid = sheetGrid(table);
  return {
    counts: countAnswers(grid),
    glasses: table.glasses.map((glass) => glassSummary(grid, glass)),
    ranking: likingRanking(grid),
    scales: SCALES.flatMap((field) => scaleAgreement(grid, field) ?? []),
    duplicate: duplicateSummary(grid),
    tastes: tasteMap(grid),
  };
}
