// Step 6: how long it stays, how it holds together, how much there is in it.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { runningFinish, startFinish, stopFinish } from '../../../store/finish_timer.js';
import { FinishTimer } from '../../../components/form/finish_timer.js';
import { Figure, Held, Judged, SomeOf } from '../../../domain/pour/fields.js';
import { inHand, says, write } from '../../../domain/pour/current_pour.js';
import { ComplexityCounted, FinishWords } from '../assessments.js';

export function WholeStep() {
  return html`<${Finish} />
    <${Judged} scale="balance" mark=${false} />
    <${SomeOf} field="standout" />
    <${Judged} scale="complexity" mark=${false} />
    <${ComplexityCounted} />`;
}

function Finish() {
  const tasting = inHand.value?.tasting ?? '';
  const running = runningFinish.value;
  const startedAt = running?.tasting === tasting ? running.started_ms : null;
  return html`<${Held} side="tasting" field="finish_s"><section class="finish"><h2>${t('pour.finish')}</h2>
    <${FinishTimer} seconds=${says.tasting.value['finish_s']} startedAt=${startedAt} onStart=${(/** @type {number | null} */ started) => (started === null ? stopFinish() : startFinish(tasting, started))}
      onStop=${(/** @type {number} */ seconds) => write('tasting', { finish_s: seconds })} />
    <${Figure} field="finish_s" label=${t('pour.finish')} unit=${t('pour.seconds')} note=${t('pour.finish_note')} /><${FinishWords} /></section><//>`;
}
