// Step 6: finish, balance and complexity.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { finishTimer } from '../../../store/finish_timer.js';
import { FinishTimer } from '../../../components/form/finish_timer.js';
import { NumberInput, FieldSlot, ScaleInput, ChoiceInput } from '../../../domain/pour/fields.js';
import { FaultInput } from '../fault_input.js';
import { SwallowedInput } from '../swallowed_input.js';
import { currentPour, values, setFields } from '../../../domain/pour/current_pour.js';
import { ComplexityNote, FinishNote } from '../assessments.js';

export function WholeStep() {
  return html`<${Finish} />
    <${SwallowedInput} />
    <${ScaleInput} scale="balance" mark=${false} />
    <${ChoiceInput} field="standout" />
    <${ScaleInput} scale="complexity" mark=${false} />
    <${ComplexityNote} />
    <${FaultInput} />`;
}

function Finish() {
  const tasting = currentPour.value?.tasting ?? '';
  const running = finishTimer.value;
  const startedAt = running?.tasting === tasting ? running.started_ms : null;
  return html`<${FieldSlot} side="tasting" field="finish_s"><section class="finish"><h2>${t('pour.finish')}</h2>
    <${FinishTimer} seconds=${values.tasting.value['finish_s']} startedAt=${startedAt}
        onStart=${(/** @type {number | null} */ started) =>
          finishTimer.set(started === null ? null : { tasting, started_ms: started })}
      onStop=${(/** @type {number} */ seconds) => setFields('tasting', { finish_s: seconds })} />
    <${NumberInput} field="finish_s" label=${t('table.seconds')} note=${t('pour.finish_note')} />
      <${FinishNote} />
    </section>
    <//>`;
}
