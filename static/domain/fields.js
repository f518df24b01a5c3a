// Groups of a tasting's fields that several screens need.

/** Guesses that are locked when the label is revealed. */
export const GUESS_FIELDS = ['guess_abv', 'guess_age_years', 'guess_style', 'guess_grape'];
