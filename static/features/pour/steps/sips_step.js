// Step 5: taste, sip by sip.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { SIP_FIELDS } from '../../../rules/tasting/aroma_fields.js';
import { AromaPicker } from '../aromas/picker.js';
import { aromaIds } from '../../../domain/aroma/entry.js';
import { ScaleInput, ChoiceInput } from '../../../domain/pour/fields.js';
import { AromaEvolution } from '../aromas/evolution.js';
import { DrynessNote } from '../assessments.js';
import { FELT_TANNIN } from '../../../domain/fields.js';
import { values } from '../../../domain/pour/current_pour.js';
import { PersistedAromas } from './second_nose_step.js';

export function SipsStep() {
  const { tannin, tannin_texture } = values.tasting.value;
  return html`<${ScaleInput} scale="sweetness" /><${DrynessNote} />
    ${['acidity', 'tannin'].map((scale) => html`<${ScaleInput} key=${scale} scale=${scale} />`)}
    <p class="field-note">${t('pour.tannin_note')}</p>
    ${(tannin >= FELT_TANNIN || tannin_texture) && html`<${ChoiceInput} field="tannin_texture" />`}
    <${ScaleInput} scale="bitterness" mark=${false} />
    ${['body', 'warmth'].map((scale) => html`<${ScaleInput} key=${scale} scale=${scale} />`)}
    <${ChoiceInput} field="warmth_where" />
    <${SipAromas} />`;
}

/** Edit the aromas of one sip at a time; each sip suggests those of the one before. */
function SipAromas() {
  const fields = values.tasting.value;
  const [at, setAt] = useState(() =>
    Math.max(
      0,
      SIP_FIELDS.findLastIndex((field) => fields[field]?.length),
    ),
  );
  const field = SIP_FIELDS[at] ?? 'sip_words';
  const before = SIP_FIELDS[at - 1] ?? (fields['second_nose_words'] ? 'second_nose_words' : 'first_nose_words');
  return html`<div class="choices sips" role="group" aria-label=${t('pour.which_sip')}>${SIP_FIELDS.map(
    (sip, index) => html`<button type="button" class="choice" key=${sip} aria-current=${index === at}
      onClick=${() => setAt(index)}>${t(`field.${sip}`)}</button>`,
  )}</div>
    <div key=${field}>
      <${PersistedAromas} from=${before} to=${field} />
      <${AromaPicker} field=${field} excluded=${aromaIds(fields[before])} />
      <${AromaEvolution} upTo=${field} />
    </div>`;
}
