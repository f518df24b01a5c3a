// Step 2: appearance, over white and in daylight.
import hues from '../../../spec/hues.json' with { type: 'json' };
import { swatches } from '../../../rules/tasting/swatches.js';
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Choice } from '../../../components/form/choice.js';
import { FieldSlot, Disclosure, ChoiceInput } from '../../../domain/pour/fields.js';
import { HueFromPhoto } from '../hue/hue_from_photo.js';
import { isLabelHidden, values, setFields } from '../../../domain/pour/current_pour.js';
import { lookedAtColour } from '../../../domain/look_colour.js';
import { styleOf } from '../../../domain/style_names.js';

const COLOURS = ['red', 'white', 'rose', 'amber'];

export function LookStep() {
  return html`<${Hue} />
    <${ChoiceInput} field="look_depth" />
    <${ChoiceInput} field="look_rim" />
    <${ChoiceInput} field="look_gradation" />
    <${Disclosure} label=${t('pour.more_of_look')}>
      <${ChoiceInput} field="look_clarity" />
      <${ChoiceInput} field="look_bubbles" />
    <//>`;
}

function Hue() {
  const hue = values.tasting.value['look_hue'];
  const lookedAt = lookedAtColour(values.tasting.value);
  const ofLabel = isLabelHidden.value
    ? null
    : (values.bottle.value['colour'] ?? styleOf(values.bottle.value['style'])?.colour);
  const colour = lookedAt ?? ofLabel ?? null;
  // Another tap on what only the label says so far confirms it; a hue says its colour for as long as it stands.
  const choose = (/** @type {string | null} */ value) => {
    if (value === null) setFields('tasting', { look_colour: hue || !lookedAt ? colour : null });
    else setFields('tasting', { look_colour: value, ...(hue && value !== colour ? { look_hue: null } : {}) });
  };
  const options = hues.hues
    .filter((candidate) => candidate.colour === colour)
    .map(({ id }) => ({ id, label: t(`hue.${id}`), swatch: swatches[id]?.srgb }));
  return html`<${FieldSlot} side="tasting" field="look_colour">
      <${Choice} label=${t('pour.hue_family')} hideLabel=${true} value=${colour} onChange=${choose}
        options=${COLOURS.map((id) => ({ id, label: t(`colour.${id}`) }))} /><//>
    <${FieldSlot} side="tasting" field="look_hue">${
      colour &&
      html`<${Choice} label=${t('field.look_hue')} options=${options} value=${hue} note=${t('pour.hue_note')}
      onChange=${(/** @type {string | null} */ value) => setFields('tasting', { look_hue: value })} />`
    }<//>
    <${Disclosure} label=${t('pour.hue_from_photo')}><${HueFromPhoto} colour=${colour} /><//>`;
}
