/**
 * The palate document as the server sends it and the phone caches it (webapp/palate/use/report.py):
 * codes and numbers, no texts. Lists of tastings have the newest ids only, newest first, next to
 * the full count. Intervals are 80 % intervals.
 *
 * @typedef {{ tasting: string, x: number, liking: number }} Dot x in the units of its line, liking 1-9
 *
 * @typedef {Object} Target
 * @property {string} attribute
 * @property {number | null} target null where not known
 * @property {number} low
 * @property {number} high
 * @property {number} weight points of liking that a usual difference moves
 * @property {'peak' | 'more' | 'less' | 'unknown'} shape
 * @property {number} n
 * @property {Dot[]} dots
 * @property {{ too_little: number, just_right: number, too_much: number }} marks
 *
 * @typedef {Object} Alcohol per cent by volume: where liking stays within half a point of its best
 * @property {number} low_abv
 * @property {number} high_abv
 * @property {number} best_abv
 * @property {[number, number]} low_between_abv
 * @property {[number, number]} high_between_abv
 * @property {boolean} known
 * @property {number} n
 * @property {Dot[]} dots
 *
 * @typedef {Object} TastedStyle liking is the plain mean of the answers; mean, sd, p_like what a usual bottle would
 *   bring
 * @property {string} style
 * @property {number} n
 * @property {number} liking
 * @property {number | null} liking_sd
 * @property {number} mean
 * @property {number} sd
 * @property {number} p_like
 * @property {string[]} tastings
 *
 * @typedef {Object} Reason
 * @property {'attribute' | 'alcohol' | 'style'} what
 * @property {string} name
 * @property {'raises' | 'lowers'} direction
 * @property {'high' | 'usual' | 'low'} level
 * @property {number | null} [value] what the person would enter for the wine, 0-10, as the ideal points are; null for a
 *   style
 * @property {number} effect points of liking
 *
 * @typedef {Object} NextStyle sd is of the next answer, sd_of_mean of what is expected
 * @property {string} style
 * @property {number} mean
 * @property {number} sd
 * @property {number} sd_of_mean
 * @property {number} p_like
 * @property {Reason[]} reasons
 *
 * @typedef {{ target: number | null, low: number, high: number, shape: Target['shape'] }} TargetState
 * @typedef {{ attribute: string, before: TargetState, now: TargetState, level: 'clear' | 'unclear' }} ChangedAttribute
 *
 * @typedef {Object} Changes
 * @property {string} since a day
 * @property {number} n_before wines
 * @property {number} n_now wines
 * @property {'too_few' | 'compared'} level
 * @property {string[]} tastings of this year
 * @property {{ before: number, now: number, shift: number, sd: number, before_sd?: number, now_sd?: number, level:
 *   'clear' | 'unclear' } | null} liking sd of the shift; before_sd and now_sd of the two means
 * @property {ChangedAttribute[]} attributes
 *
 * @typedef {Object} Repeatability in points of liking; ceiling is the highest correlation that a prediction can reach
 * @property {number | null} within_sd
 * @property {number | null} limit
 * @property {number | null} ceiling
 * @property {number} n
 * @property {'none' | 'few' | 'known'} level
 * @property {{ bottle: string | null, tastings: string[], likings: number[] }[]} bottles
 *
 * @typedef {Object} Check guess less label
 * @property {number} n
 * @property {number | null} mean
 * @property {number | null} sd
 * @property {number | null} sd_of_mean
 * @property {'none' | 'few' | 'known'} level
 * @property {string[]} tastings
 * @property {number | null} [mean_abv]
 *
 * @typedef {Object} PalateDocument
 * @property {number} n_tastings
 * @property {number} n_rated notes with a rating
 * @property {number} [n_wines] different wines of them; an older server does not count them
 * @property {boolean} [example] learned from the invented taster of the example
 * @property {string[]} levels
 * @property {Target[]} targets
 * @property {Alcohol | null} alcohol
 * @property {TastedStyle[]} styles
 * @property {Record<'close' | 'stretch' | 'teaches', NextStyle[]>} next
 * @property {Changes} changes
 * @property {Repeatability} repeatability
 * @property {{ warmth: Check, guess_abv: Check, guess_age_years: Check }} calibration
 */
export {};
