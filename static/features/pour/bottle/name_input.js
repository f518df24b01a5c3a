// Name of the wine with its vintage. What the name tells is found by code that is loaded when there is one.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { FieldSlot, TextInput } from '../../../domain/pour/fields.js';
import { currentPour, values, setFields } from '../../../domain/pour/current_pour.js';
import { pause, untilLoaded } from '../../../lib/until_loaded.js';
import { VintageField } from '../../../domain/bottle/vintage_field.js';

/** A note is saved without what its name tells if the code for that does not come. */
const SETTLE_MS = 1_000;

export const toldByName = () => untilLoaded(() => import('./told_by_name.js'));

/** @param {{ plain?: boolean }} props plain: a wine without vintage is typed as NV, not tapped */
export function VintageInput({ plain = false }) {
  return html`<${FieldSlot} side="bottle" field="vintage"><${FieldSlot} side="bottle" field="non_vintage">
    <${VintageField} bottle=${values.bottle.value} plain=${plain}
      onChange=${(/** @type {Record<string, any>} */ vintage) => setFields('bottle', vintage)} />
  <//><//>`;
}

/** @param {{ withVintage?: boolean, isShared?: boolean }} props isShared: the style is that of other notes too */
export function NameInput({ withVintage = false, isShared = false }) {
  const name = html`<${TextInput} side="bottle" field="name" large=${true} onChange=${isShared ? undefined : typeName}
    label=${t('field.name')} placeholder=${t('pour.name_placeholder')} />`;
  return withVintage
    ? html`<div class="pair name-and-vintage" onBlurCapture=${left}>${name}<${VintageInput} plain=${true} /></div>`
    : html`<div onBlurCapture=${left}>${name}</div>`;
}

/** Show and save a typed name, and the style that it tells. @param {string | null} name */
export function typeName(name) {
  const before = values.bottle.peek()['name'];
  const bottle = currentPour.peek()?.bottle;
  setFields('bottle', { name });
  return toldByName().then(({ followName }) => followName(bottle, before, name));
}

/** Move a year out of the name before the note is saved, if the field was not left. */
export async function settleName() {
  const bottle = currentPour.peek()?.bottle;
  if (hasYear()) await Promise.race([toldByName().then(({ moveYear }) => moveYear(bottle)), pause(SETTLE_MS)]);
}

function left() {
  if (hasYear()) toldByName().then(({ moveYearAndSay }) => moveYearAndSay());
}

const hasYear = () => /\d{4}/.test(values.bottle.peek()['name'] ?? '');
