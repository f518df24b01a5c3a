// The list of all styles under headings, loaded when it is first opened.
import { locale, t } from '../../i18n.js';
import { styleOf } from '../style_names.js';
import { PLAIN, plainLabel } from './plain_styles.js';
import { plainText } from '../../lib/plain_text.js';
import { styleItems } from './style_search.js';

/** @typedef {import('../../components/form/search_select.js').Item} Item */

/** Order of the headings: still wines by colour, then the other kinds. */
const ORDER = [
  'colour.red',
  'colour.white',
  'colour.rose',
  'colour.amber',
  'bottle_kind.sparkling',
  'bottle_kind.semi_sparkling',
  'bottle_kind.sweet',
  'bottle_kind.fortified',
];

/**
 * What a label or a list may say in English, French and Italian; searched besides the name in the chosen language.
 * @type {Record<string, string>}
 */
const WORDS = {
  'plain:red': 'red rouge rosso',
  'plain:white': 'white blanc bianco',
  'plain:rose': 'rose rosato rosado',
  'plain:amber': 'orange amber ambre macerato',
  'plain:sparkling': 'sparkling effervescent mousseux spumante bollicine bubbles bulles',
  'plain:sweet': 'sweet dessert doux moelleux liquoreux dolce passito',
  'plain:fortified': 'fortified mute liquoroso',
};

/** @param {boolean} withPlain also the plain colours, first @returns {Item[]} */
export function styleList(withPlain) {
  return [...(withPlain ? plainItems() : []), ...grouped()];
}

/** @returns {Item[]} */
function plainItems() {
  return Object.entries(PLAIN).map(([id, plain]) => ({
    id,
    label: plainLabel(plain),
    find: `${plainText(plainLabel(plain))} ${WORDS[id] ?? ''}`,
    group: t('parts.not_sure_which'),
    isFirst: true,
  }));
}

/** List all styles under their headings, each in the order of the alphabet. @returns {Item[]} */
function grouped() {
  const byName = new Intl.Collator(locale());
  return styleItems()
    .map((item, order) => ({ item: { ...item, order }, heading: headingOf(item.id) }))
    .sort((a, b) => ORDER.indexOf(a.heading) - ORDER.indexOf(b.heading) || byName.compare(a.item.label, b.item.label))
    .map(({ item, heading }) => ({ ...item, group: t(heading) }));
}

/** @param {string} id */
function headingOf(id) {
  const style = styleOf(id);
  return style?.kind === 'still' ? `colour.${style.colour}` : `bottle_kind.${style?.kind}`;
}
