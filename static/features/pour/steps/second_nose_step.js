// Step 4: smell after swirling, compared with the first nose.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { AromaPicker } from '../aromas/picker.js';
import { parseEntry, remove, aromaIds } from '../../../domain/aroma/entry.js';
import { aromaText } from '../../../domain/aroma/chips.js';
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
  const earlier = /** @type {string[]} */ (values.tasting.value[from] ?? []);
  if (!earlier.length) return null;
  const now = aromaIds(values.tasting.value[to]);
  const tap = (/** @type {string} */ text) => {
    const { aroma } = parseEntry(text);
    const entries = values.tasting.peek()[to];
    setFields('tasting', {
      [to]: aromaIds(entries).includes(aroma) ? remove(entries, aroma) : [...(entries ?? []), text],
    });
  };
  return html`<div class="field" role="group" aria-label=${t('pour.still_there')}>
  <span class="label">${t('pour.still_there')}
  </span>
    <div class="choices">${earlier.map((text) => {
      const { aroma } = parseEntry(text);
      return html`<button type="button" class="choice" key=${aroma} aria-pressed=${now.includes(aroma)}
          onClick=${() => tap(text)}>
        ${aromaText(aroma)}
      </button>`;
    })}</div></div>`;
}
