// Step 7: how it is liked, apart from how good it is.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Figure, Liking, Line, More, OneOf } from '../../../domain/pour/fields.js';
import { Guesses } from '../hidden_label.js';
import { volumeUnit } from '../../../domain/units.js';

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
