// Step 4: the smell after swirling, held against the first: what is still there, what is gone, what is new.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { AromaChoice } from './aroma_choice.js';
import { readEntry, without, wordsOf } from './aroma_entry.js';
import { aromaText } from './aroma_words.js';
import { Judged, OneOf } from './controls.js';
import { Evolution } from './evolution.js';
import { says, write } from './in_hand.js';

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
