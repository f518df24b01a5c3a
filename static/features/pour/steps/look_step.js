// Step 2: appearance, over white and in daylight.
import hues from '../../../spec/hues.json' with { type: 'json' };
import { swatches } from '../../../rules/tasting/swatches.js';
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Choice } from '../../../components/form/choice.js';
import { FieldSlot, Disclosure, SingleChoice } from '../../../domain/pour/fields.js';
import { HueFromPhoto } from '../hue/hue_from_photo.js';
import { isLabelHidden, values, setFields } from '../../../domain/pour/current_pour.js';
import { styleOf } from '../../../domain/style_names.js';

const COLOURS = ['red', 'white', 'rose', 'amber'];

export function LookStep() {
  return html`<${Hue} />
    <${SingleChoice} field="look_depth" />
    <${SingleChoice} field="look_rim" />
    <${SingleChoice} field="look_gradation" />
    <${Disclosure} label=${t('pour.more_of_look')}>
      <${SingleChoice} field="look_clarity" />
      <${SingleChoice} field="look_bubbles" />
    <//>`;
}

function Hue() {
  const hue = values.tasting.value['look_hue'];
  const known =
    hues.hues.find((candidate) => candidate.id === hue)?.colour ??
    (isLabelHidden.value ? null : (values.bottle.value['colour'] ?? styleOf(values.bottle.value['style'])?.colour));
  const [chosen, setChosen] = useState(/** @type {string | null} */ (null));
  const colour = chosen ?? known ?? null;
  const options = hues.hues
    .filter((candidate) => candidate.colour === colour)
    .map(({ id }) => ({ id, label: t(`hue.${id}`), swatch: swatches[id]?.srgb }));
  return html`<${Choice} label=${t('pour.hue_family')} hideLabel=${true} value=${colour}
      onChange=${(/** @type {string | null} */ value) => setChosen(value ?? colour)}
      options=${COLOURS.map((id) => ({ id, label: t(`colour.${id}`) }))} />
    <${FieldSlot} side="tasting" field="look_hue">${
      colour &&
      html`<${Choice} label=${t('field.look_hue')} options=${options} value=${hue} note=${t('pour.hue_note')}
      onChange=${(/** @type {string | null} */ value) => setFields('tasting', { look_hue: value })} />`
    }<//>
    <${Disclosure} label=${t('pour.hue_from_photo')}><${HueFromPhoto} colour=${colour} /><//>`;
}
