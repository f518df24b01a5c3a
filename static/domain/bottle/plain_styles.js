// Plain colours and kinds, for a bottle whose style is not known: they set no style.
import { t } from '../../i18n.js';

/** @typedef {{ colour: string | null, kind: string }} Plain */

/** @type {Record<string, Plain>} */
export const PLAIN = {
  'plain:red': { colour: 'red', kind: 'still' },
  'plain:white': { colour: 'white', kind: 'still' },
  'plain:rose': { colour: 'rose', kind: 'still' },
  'plain:amber': { colour: 'amber', kind: 'still' },
  'plain:sparkling': { colour: null, kind: 'sparkling' },
  'plain:sweet': { colour: null, kind: 'sweet' },
  'plain:fortified': { colour: null, kind: 'fortified' },
};

/** @param {Plain} plain */
export const plainLabel = ({ colour, kind }) => t(colour ? `colour.${colour}` : `bottle_kind.${kind}`);

/**
 * @param {Record<string, any>} bottle
 * @returns {string | null} the plain choice that a bottle without a style has
 */
export function plainOf({ style, colour = null, kind }) {
  if (style || !kind) return null;
  const found = Object.entries(PLAIN).find(([, plain]) => plain.kind === kind && plain.colour === colour);
  return found?.[0] ?? null;
}

/** @param {Record<string, any>} bottle @returns {string} empty without a plain choice */
export function plainName(bottle) {
  const plain = PLAIN[plainOf(bottle) ?? ''];
  return plain ? plainLabel(plain) : '';
}

/** @param {string | null} id @returns {Plain | null} the fields of a plain choice */
export function plainFields(id) {
  const plain = id === null ? undefined : PLAIN[id];
  return plain ?? null;
}
