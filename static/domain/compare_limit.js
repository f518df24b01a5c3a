// How many tastings can be compared on one screen.

export const MAX_COMPARED = 4;
