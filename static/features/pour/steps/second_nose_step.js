// Step 4: smell after swirling, compared with the first nose.
import { html } from '../../../lib/ui.js';
import { AromaPicker } from '../aromas/picker.js';
import { aromaIds } from '../../../domain/aroma/entry.js';
import { PersistedWords } from '../../../domain/aroma/persisted.js';
import { ScaleInput, ChoiceInput } from '../../../domain/pour/fields.js';
import { AromaEvolution } from '../aromas/evolution.js';
import { values, setFields } from '../../../domain/pour/current_pour.js';

export function SecondNoseStep() {
  return html`<${PersistedAromas} from="first_nose_words" to="second_nose_words" />
    <${AromaPicker} field="second_nose_words" excluded=${aromaIds(values.tasting.value['first_nose_words'])} />
    <${AromaEvolution} upTo="second_nose_words" />
    <${ChoiceInput} field="fruit_state" />
    <${ScaleInput} scale="oak" />`;
}

/**
 * Offer the aromas of an earlier step, each added again with one tap.
 * @param {{ from: string, to: string }} props
 */
export function PersistedAromas({ from, to }) {
  const change = (/** @type {(entries: string[] | null | undefined) => string[] | null} */ next) =>
    setFields('tasting', { [to]: next(values.tasting.peek()[to]) });
  return html`<${PersistedWords} earlier=${values.tasting.value[from]} noted=${values.tasting.value[to]}
    onChange=${change} />`;
}
