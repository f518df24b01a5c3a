// Step 3: the smell of the still glass.
import { html } from '../../../lib/ui.js';
import { AromaChoice } from '../aromas/picker.js';
import { Judged } from '../../../domain/pour/fields.js';

export function FirstNoseStep() {
  return html`<${Judged} scale="intensity" /><${AromaChoice} field="first_nose_words" />`;
}
