// Groups of tasting fields that several screens use.

/** Guesses, which are locked when the label is revealed. */
export const GUESS_FIELDS = ['guess_abv', 'guess_age_years', 'guess_style', 'guess_grape'];
