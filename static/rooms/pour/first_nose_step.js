// Step 3: the smell of the still glass.
import { html } from '../../ui.js';
import { AromaChoice } from './aroma_choice.js';
import { Judged } from './controls.js';

export function FirstNoseStep() {
  return html`<${Judged} scale="intensity" /><${AromaChoice} field="first_nose_words" />`;
}
