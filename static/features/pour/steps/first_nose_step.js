// Step 3: smell before swirling.
import { html } from '../../../lib/ui.js';
import { AromaPicker } from '../aromas/picker.js';
import { ScaleInput } from '../../../domain/pour/fields.js';

export function FirstNoseStep() {
  return html`<${ScaleInput} scale="intensity" /><${AromaPicker} field="first_nose_words" />`;
}
