// Maximum number of tastings in a comparison.

export const MAX_COMPARED = 4;
