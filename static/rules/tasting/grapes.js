// Splits the grapes of a label, and finds the other names of a grape.
import styles from '../../spec/styles.json' with { type: 'json' };
import { plainText } from '../../lib/plain_text.js';

/** How much of a wine is of one grape, such as "60 %", "(37,5%)" or "60". */
const SHARE = /\(?\s*\d+(?:[.,]\d+)*\s*%?\s*\)?/g;
/** "And" is English, French, Italian, Spanish or German. */
const BETWEEN = /[,;/&+]|\s(?:and|et|ed?|y|und)\s/i;

/** @type {Map<string, Set<string>> | null} */
let known = null;

/**
 * Return the grapes of a text, without their percentages.
 * @param {string} text
 */
export function splitGrapes(text) {
  return text
    .replace(SHARE, ',')
    .split(BETWEEN)
    .map((grape) => grape.trim())
    .filter(Boolean);
}

/** Normalize the name of a grape, so that spellings compare equal. @param {string} grape */
export function plainGrape(grape) {
  return plainText(grape)
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim();
}

/**
 * Return all names that a grape has in other places, itself included where one is known.
 * @param {string} grape
 * @returns {string[]}
 */
export function grapeNames(grape) {
  known ??= groupsByName();
  return [...(known.get(plainGrape(grape)) ?? [])];
}

/** Collect the groups of each name, which may stand for several grapes, as Moscatel does. */
function groupsByName() {
  /** @type {Map<string, Set<string>>} */
  const groups = new Map();
  for (const [grape, others] of Object.entries(styles.grapes_also_called)) {
    const names = [grape, ...others];
    for (const name of names.map(plainGrape)) groups.set(name, new Set([...(groups.get(name) ?? []), ...names]));
  }
  return groups;
}
