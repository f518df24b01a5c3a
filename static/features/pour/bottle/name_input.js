// Name of the wine with its vintage. The code that finds a year in the name is loaded when there is one.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { useLazy } from '../../shell/lazy.js';
import { FieldSlot, TextInput } from '../../../domain/pour/fields.js';
import { values, setFields } from '../../../domain/pour/current_pour.js';
import { VintageField } from '../../../domain/bottle/vintage_field.js';

const loadYear = () => import('./name_year.js').then((module) => module.NameYear);

/** @param {{ plain?: boolean }} props plain: a wine without vintage is typed as NV, not tapped */
export function VintageInput({ plain = false }) {
  return html`<${FieldSlot} side="bottle" field="vintage"><${FieldSlot} side="bottle" field="non_vintage">
    <${VintageField} bottle=${values.bottle.value} plain=${plain}
      onChange=${(/** @type {Record<string, any>} */ vintage) => setFields('bottle', vintage)} />
  <//><//>`;
}

/** @param {{ withVintage?: boolean }} props */
export function NameInput({ withVintage = false }) {
  const [attempt, setAttempt] = useState(0);
  const NameYear = useLazy(attempt ? loadYear : null);
  const left = () => {
    if (hasYear()) setAttempt(attempt + 1);
  };
  const name = html`<div onBlurCapture=${left}><${TextInput} side="bottle" field="name" large=${true}
    label=${t('field.name')} placeholder=${t('pour.name_placeholder')} /></div>`;
  return html`${
    withVintage ? html`<div class="pair name-and-vintage">${name}<${VintageInput} plain=${true} /></div>` : name
  }${NameYear && html`<${NameYear} attempt=${attempt} />`}`;
}

/** Move a year out of the name before the note is saved, if the field was not left. */
export async function settleName() {
  if (hasYear()) await import('./name_year.js').then(({ moveYear }) => moveYear());
}

const hasYear = () => /\d{4}/.test(values.bottle.peek()['name'] ?? '');
