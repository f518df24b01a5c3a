// Groups of tasting fields that several screens use.

/** Guesses, which are locked when the label is revealed. */
export const GUESS_FIELDS = ['guess_abv', 'guess_age_years', 'guess_style', 'guess_grape'];

/** Tannin from which its texture is asked for: less of it has none (common practice, no source). */
export const FELT_TANNIN = 2;
