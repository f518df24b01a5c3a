// Chooses the wine of a glass: search the notebook, bottles at home first, or name a new wine.
import { html, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { plainText } from '../../../lib/plain_text.js';
import { allOf, liveSignal, stock } from '../../../store/queries.js';
import { NumberField, TextField } from '../../../components/form/field.js';
import { Disclosure } from '../../../components/layout/disclosure.js';
import { Row } from '../../../components/layout/row.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { MAX_ABV } from '../../../domain/bottle/abv.js';
import { StylePicker } from '../../../domain/bottle/style_picker.js';
import { StyleSuggestions } from '../../../domain/bottle/style_suggestions.js';
import { styleFields } from '../../../domain/bottle/style_fields.js';
import { VintageField } from '../../../domain/bottle/vintage_field.js';
import { bottleLine, wineName } from '../../../domain/bottle_names.js';
import { grapesOf, styleOf } from '../../../domain/style_names.js';

/** @typedef {import('../../../store/record.js').Row} BottleRow */
/** @typedef {{ bottles: BottleRow[], atHome: Set<string> }} Known */
/** @typedef {Record<string, any>} Fields */
/** @typedef {{ bottle: string } | (Fields & { name: string })} Wine a bottle of the notebook, or a new one */

const SHOWN = 20;
/** @type {Known} */
const NOTHING = { bottles: [], atHome: new Set() };

/** @returns {Promise<Known>} bottles whose label may be seen; those at home first, then the newest */
async function readKnown() {
  const inStock = (await stock()).filter((row) => row.fields['count'] > 0);
  const atHome = new Set(inStock.map((row) => String(row.fields['bottle'])));
  const named = (await allOf('bottle'))
    .filter(({ fields }) => !fields['covered'] && !fields['merged_into'] && (fields['name'] || fields['style']))
    .reverse();
  const isAway = (/** @type {BottleRow} */ row) => (atHome.has(row.id) ? 0 : 1);
  return { bottles: named.sort((a, b) => isAway(a) - isAway(b)), atHome };
}

/**
 * @param {{ open: boolean, onClose: () => void, onChoose: (wine: Wine) => void }}
 *   props
 */
export function GlassSheet({ open, onClose, onChoose }) {
  return html`<${Sheet} className="steady wine" title=${t('table.choose_wine')} open=${open} onClose=${onClose}>
    <${Wines} onChoose=${onChoose} /><//>`;
}

/** @param {{ onChoose: (wine: Wine) => void }} props */
function Wines({ onChoose }) {
  const { bottles, atHome } = useMemo(() => liveSignal(readKnown, NOTHING), []).value;
  const [typed, setTyped] = useState('');
  const [fields, setFields] = useState(/** @type {Fields} */ ({}));
  const terms = plainText(typed).split(/\s+/).filter(Boolean);
  const textOf = (/** @type {BottleRow} */ row) =>
    ` ${plainText([row.fields['producer'], wineName(row.fields), bottleLine(row)].filter(Boolean).join(' '))}`;
  const found = bottles.filter((row) => terms.every((term) => textOf(row).includes(` ${term}`)));
  const name = typed.trim();
  const change = (/** @type {Fields} */ changed) => setFields((before) => ({ ...before, ...changed }));
  return html`<div class="field"><label><span class="label">${t('table.wine_find')}</span>
      <input type="search" value=${typed} maxlength="120" autofocus autocomplete="off" enterkeyhint="done"
        onInput=${(/** @type {Event} */ event) => setTyped(/** @type {HTMLInputElement} */ (event.target).value)} />
    </label></div>
    <${NewWine} name=${name} fields=${fields} change=${change} />
    ${
      found.length > 0 &&
      html`<h3>${t('table.wine_known')}</h3>
      <ul class="ruled" data-once>${found.slice(0, SHOWN).map(
        (row) => html`<li key=${row.id}><${Row} name=${wineName(row.fields)}
          onClick=${() => onChoose({ bottle: row.id })}
          line=${[atHome.has(row.id) ? t('table.at_home') : null, bottleLine(row)].filter(Boolean).join(' \u00b7 ')} />
        </li>`,
      )}</ul>`
    }
    <div class="buttons table-wine-add" data-once><button type="button" class="button primary" disabled=${!name}
      onClick=${() => onChoose({ name, ...fields })}>
      ${name ? t('table.wine_new', { name }) : t('table.add_glass')}</button></div>`;
}

/**
 * Ask what guesses are judged by, together with the name so that it is not forgotten.
 * @param {{ name: string, fields: Fields, change: (changed: Fields) => void }} props
 */
function NewWine({ name, fields, change }) {
  const setStyle = (/** @type {string | null} */ id) => change(styleFields(fields, id));
  return html`<div class="pair">
      <${NumberField} label=${t('field.label_abv')} value=${fields['label_abv']} unit=${t('pour.percent')} min=${0}
        max=${MAX_ABV} onChange=${(/** @type {number | null} */ abv) => change({ label_abv: abv })} />
      <${StylePicker} label=${t('field.style')} value=${fields['style']} placeholder=${t('pour.choose_style')}
        onChange=${setStyle} />
    </div>
    <div class="table-styles">
      <${StyleSuggestions} bottle=${{ ...fields, name: name || null }} onChoose=${setStyle} /></div>
    <${Disclosure} label=${t('table.wine_more')}>
      <${VintageField} bottle=${fields} onChange=${change} />
      <${TextField} label=${t('field.grapes')} value=${fields['grapes']} maxLength=${200}
        placeholder=${grapesOf(styleOf(fields['style'])).join(', ')}
        onChange=${(/** @type {string | null} */ grapes) => change({ grapes })} /><//>`;
}
