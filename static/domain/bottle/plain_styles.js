// Plain colours and kinds, for a bottle whose style is not known: they set no style.
import { t } from '../../i18n.js';
import { plainText } from '../../lib/plain_text.js';

/** @typedef {{ colour: string | null, kind: string }} Plain */

/**
 * `words` are searched besides the name in the chosen language: what a label or a list may say in English, French and
 * Italian.
 * @type {Record<string, Plain & { words: string }>}
 */
const PLAIN = {
  'plain:red': { colour: 'red', kind: 'still', words: 'red rouge rosso' },
  'plain:white': { colour: 'white', kind: 'still', words: 'white blanc bianco' },
  'plain:rose': { colour: 'rose', kind: 'still', words: 'rose rosato rosado' },
  'plain:amber': { colour: 'amber', kind: 'still', words: 'orange amber ambre macerato' },
  'plain:sparkling': {
    colour: null,
    kind: 'sparkling',
    words: 'sparkling effervescent mousseux spumante bollicine bubbles bulles',
  },
  'plain:sweet': { colour: null, kind: 'sweet', words: 'sweet dessert doux moelleux liquoreux dolce passito' },
  'plain:fortified': { colour: null, kind: 'fortified', words: 'fortified mute liquoroso' },
};

/** @param {Plain} plain */
const nameOf = ({ colour, kind }) => t(colour ? `colour.${colour}` : `bottle_kind.${kind}`);

/** @returns {import('../../components/form/search_select.js').Item[]} */
export function plainItems() {
  return Object.entries(PLAIN).map(([id, plain]) => ({
    id,
    label: nameOf(plain),
    find: `${plainText(nameOf(plain))} ${plain.words}`,
    group: t('parts.not_sure_which'),
    isFirst: true,
  }));
}

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
  return plain ? nameOf(plain) : '';
}

/** @param {string | null} id @returns {Plain | null} the fields of a plain choice */
export function plainFields(id) {
  const plain = id === null ? undefined : PLAIN[id];
  return plain ? { colour: plain.colour, kind: plain.kind } : null;
}
