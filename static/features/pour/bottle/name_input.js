// Name of the wine with its vintage. The code that finds a year in the name is loaded when there is one.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { FieldSlot, TextInput } from '../../../domain/pour/fields.js';
import { values, setFields } from '../../../domain/pour/current_pour.js';
import { VintageField } from '../../../domain/bottle/vintage_field.js';

/** @param {{ plain?: boolean }} props plain: a wine without vintage is typed as NV, not tapped */
export function VintageInput({ plain = false }) {
  return html`<${FieldSlot} side="bottle" field="vintage"><${FieldSlot} side="bottle" field="non_vintage">
    <${VintageField} bottle=${values.bottle.value} plain=${plain}
      onChange=${(/** @type {Record<string, any>} */ vintage) => setFields('bottle', vintage)} />
  <//><//>`;
}

/** @param {{ withVintage?: boolean }} props */
export function NameInput({ withVintage = false }) {
  const name = html`<${TextInput} side="bottle" field="name" large=${true}
    label=${t('field.name')} placeholder=${t('pour.name_placeholder')} />`;
  return withVintage
    ? html`<div class="pair name-and-vintage" onBlurCapture=${left}>${name}<${VintageInput} plain=${true} /></div>`
    : html`<div onBlurCapture=${left}>${name}</div>`;
}

/** Move a year out of the name before the note is saved, if the field was not left. */
export async function settleName() {
  if (hasYear()) await import('./name_year.js').then(({ moveYear }) => moveYear());
}

function left() {
  if (hasYear()) import('./name_year.js').then(({ moveYearAndSay }) => moveYearAndSay());
}

const hasYear = () => /\d{4}/.test(values.bottle.peek()['name'] ?? '');
