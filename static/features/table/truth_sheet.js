// Fills in what the guesses of a glass are judged by: alcohol, vintage, style and grape of its wine.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { save } from '../../store/write.js';
import { NumberField, TextField } from '../../components/form/field.js';
import { Sheet } from '../../components/layout/sheet.js';
import { MAX_ABV } from '../../domain/bottle/abv.js';
import { StylePicker } from '../../domain/bottle/style_picker.js';
import { StyleSuggestions } from '../../domain/bottle/style_suggestions.js';
import { styleFields } from '../../domain/bottle/style_fields.js';
import { VintageField } from '../../domain/bottle/vintage_field.js';
import { wineName } from '../../domain/bottle_names.js';
import { grapesOf, styleOf } from '../../domain/style_names.js';
import { useOverlay } from '../../domain/table/overlay.js';

/** @typedef {import('../../store/record.js').Row} BottleRow */
/** @typedef {Record<string, any>} Fields */

/** @param {{ bottle: BottleRow | null, onClose: () => void }} props bottle: null while it is closed */
export function TruthSheet({ bottle, onClose }) {
  return html`<${Sheet} className="steady" title=${bottle ? wineName(bottle.fields) : ''} open=${bottle !== null}
      onClose=${onClose}>
    ${bottle && html`<${Truths} key=${bottle.id} bottle=${bottle} onClose=${onClose} />`}<//>`;
}

/** @param {{ bottle: BottleRow, onClose: () => void }} props */
function Truths({ bottle, onClose }) {
  const [fields, patch] = useOverlay(bottle.id, bottle.fields);
  const change = (/** @type {Fields} */ changed) => {
    patch(changed);
    return save('bottle', bottle.id, changed);
  };
  const setStyle = (/** @type {string | null} */ id) => change(styleFields(fields, id));
  return html`<div><p class="soft small">${t('table.truths_note')}</p>
    <${NumberField} label=${t('field.label_abv')} value=${fields['label_abv']} unit=${t('pour.percent')} min=${0}
      max=${MAX_ABV} onChange=${(/** @type {number | null} */ abv) => change({ label_abv: abv })} />
    <${VintageField} bottle=${fields} onChange=${change} />
    <${StylePicker} label=${t('field.style')} value=${fields['style']} placeholder=${t('pour.choose_style')}
      onChange=${setStyle} />
    <${StyleSuggestions} bottle=${fields} onChoose=${setStyle} />
    <${TextField} label=${t('field.grapes')} value=${fields['grapes']} maxLength=${200}
      placeholder=${grapesOf(styleOf(fields['style'])).join(', ')}
      onChange=${(/** @type {string | null} */ grapes) => change({ grapes })} />
    <button type="button" class="button primary" onClick=${onClose}>${t('pour.done')}</button></div>`;
}
