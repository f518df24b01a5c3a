// How many different wines a palate was learned from.

/** Wines from which on forecasts are no longer first guesses; `YOUNG` in webapp/palate/use/report.py. */
const MIN_WINES = 5;

/**
 * @param {{ n_rated: number, n_wines?: number }} document an older server counts the ratings only
 */
export function ratedWines({ n_rated, n_wines = n_rated }) {
  return n_wines;
}

/** Tell whether so few wines were rated that every forecast is a first guess. @param {any} document */
export function isYoungPalate(document) {
  return ratedWines(document) < MIN_WINES;
}
