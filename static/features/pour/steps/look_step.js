// Step 2: appearance, over white and in daylight.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { FieldSlot, ChoiceInput } from '../../../domain/pour/fields.js';
import { Disclosure } from '../../../components/layout/disclosure.js';
import { ColourChoice, HueChoice } from '../../../domain/hue_choice.js';
import { HueFromPhoto } from '../hue/hue_from_photo.js';
import { isLabelHidden, values, setFields } from '../../../domain/pour/current_pour.js';
import { lookedAtColour } from '../../../domain/look_colour.js';
import { styleOf } from '../../../domain/style_names.js';

export function LookStep() {
  return html`<${Hue} />
    <${ChoiceInput} field="look_depth" without=${isPale() ? ['inky'] : []} />
    <${ChoiceInput} field="look_rim" />
    <${ChoiceInput} field="look_gradation" />
    <${Disclosure} label=${t('pour.more_of_look')}>
      <${ChoiceInput} field="look_clarity" />
      <${ChoiceInput} field="look_bubbles" />
    <//>`;
}

function Hue() {
  const fields = values.tasting.value;
  const ofLabel = colourOfLabel();
  const colour = lookedAtColour(fields) ?? ofLabel;
  const set = (/** @type {Record<string, string | null>} */ changed) => setFields('tasting', changed);
  return html`<${FieldSlot} side="tasting" field="look_colour">
      <${ColourChoice} fields=${fields} ofLabel=${ofLabel} onChange=${set} /><//>
    <${FieldSlot} side="tasting" field="look_hue">
      <${HueChoice} colour=${colour} value=${fields['look_hue']}
        onChange=${(/** @type {string | null} */ hue) => set({ look_hue: hue })} /><//>
    <${Disclosure} label=${t('pour.hue_from_photo')}><${HueFromPhoto} colour=${colour} /><//>`;
}

/** Tell whether the wine is of a colour that is never inky. */
function isPale() {
  return ['white', 'rose'].includes(lookedAtColour(values.tasting.value) ?? colourOfLabel() ?? '');
}

/** @returns {string | null} null while the label is hidden */
function colourOfLabel() {
  if (isLabelHidden.value) return null;
  return values.bottle.value['colour'] ?? styleOf(values.bottle.value['style'])?.colour ?? null;
}
