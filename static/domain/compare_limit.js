// How many tastings can be compared on one screen.

export const MOST = 4;
