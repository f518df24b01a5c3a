// Step 7: liking, apart from quality.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { NumberInput, LikingInput, TextInput, ChoiceInput } from '../../../domain/pour/fields.js';
import { Disclosure } from '../../../components/layout/disclosure.js';
import { GuessForm } from '../hidden_label.js';
import { fieldsOfAmount } from '../../../domain/intake/swallowed.js';
import { values } from '../../../domain/pour/current_pour.js';
import { volumeUnit } from '../../../domain/units.js';

export function VerdictStep() {
  return html`<${LikingInput} />
    <${ChoiceInput} field="would_buy" />
    <${TextInput} field="words" multiline=${true} />
    <${GuessForm} />
    <${Disclosure} label=${t('pour.more_of_verdict')}>
      <${TextInput} field="with_whom" /><${TextInput} field="with_food" />
      <div class="pair">
        <${NumberInput} field="pour_ml" ...${volumeUnit()} />
        <${NumberInput} field="swallowed_ml" ...${volumeUnit()}
          fieldsOf=${(/** @type {number | null} */ ml) => fieldsOfAmount(ml, values.tasting.value['pour_ml'])} />
      </div>
      <p class="field-note">${t('pour.caution')}</p>
    <//>`;
}
