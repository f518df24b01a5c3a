// Step 4: the smell after swirling, held against the first: what is still there, what is gone, what is new.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { AromaChoice } from '../aromas/picker.js';
import { readEntry, without, wordsOf } from '../../../domain/aroma/entry.js';
import { aromaText } from '../../../domain/aroma/chips.js';
import { Judged, OneOf } from '../../../domain/pour/fields.js';
import { Evolution } from '../aromas/evolution.js';
import { says, write } from '../../../domain/pour/current_pour.js';

export function SecondNoseStep() {
  return html`<${StillThere} from="first_nose_words" to="second_nose_words" />
    <${AromaChoice} field="second_nose_words" offered=${wordsOf(says.tasting.value['first_nose_words'])} />
    <${Evolution} upTo="second_nose_words" />
    <${OneOf} field="fruit_state" />
    <${Judged} scale="oak" />`;
}

/** The words of an earlier moment, each to be said again with one tap. @param {{ from: string, to: string }} props */
export function StillThere({ from, to }) {
  const earlier = /** @type {string[]} */ (says.tasting.value[from] ?? []);
  if (!earlier.length) return null;
  const now = wordsOf(says.tasting.value[to]);
  const tap = (/** @type {string} */ text) => {
    const { word } = readEntry(text);
    const held = says.tasting.peek()[to];
    write('tasting', { [to]: wordsOf(held).includes(word) ? without(held, word) : [...(held ?? []), text] });
  };
  return html`<div class="field" role="group" aria-label=${t('pour.still_there')}><span class="label">${t('pour.still_there')}</span>
    <div class="choices">${earlier.map((text) => {
      const { word } = readEntry(text);
      return html`<button type="button" class="choice" key=${word} aria-pressed=${now.includes(word)} onClick=${() => tap(text)}>${aromaText(word)}</button>`;
    })}</div></div>`;
}
