// Step 7: how it is liked, apart from how good it is.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { Figure, Liking, Line, More, OneOf } from './controls.js';
import { Guesses } from './hidden_label.js';
import { volumeUnit } from './units.js';

export function VerdictStep() {
  return html`<${Liking} />
    <${OneOf} field="would_buy" />
    <${Line} field="words" long=${true} />
    <${Guesses} />
    <${More} label=${t('pour.more_of_verdict')}>
      <${Line} field="with_whom" /><${Line} field="with_food" />
      <div class="pair"><${Figure} field="pour_ml" ...${volumeUnit()} /><${Figure} field="swallowed_ml" ...${volumeUnit()} /></div>
      <p class="field-note">${t('pour.caution')}</p>
    <//>`;
}
