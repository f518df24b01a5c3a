// Page of one step: progress, fields, and the button to the next step.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Page } from '../shell/page.js';
import { BottleStep } from './steps/bottle_step.js';
import { FirstNoseStep } from './steps/first_nose_step.js';
import { currentPour, isFinished } from '../../domain/pour/current_pour.js';
import { LookStep } from './steps/look_step.js';
import { pourTitle } from '../../domain/pour/pour_title.js';
import { finish } from './quick_note.js';
import { SecondNoseStep } from './steps/second_nose_step.js';
import { ChillingRows } from '../../domain/serving/chilling_row.js';
import { SipsStep } from './steps/sips_step.js';
import { StepProgress } from './step_progress.js';
import { nextStep } from '../../domain/pour/tasting_steps.js';
import { SaveErrorBanner } from './save_error_banner.js';
import { VerdictStep } from './steps/verdict_step.js';
import { WholeStep } from './steps/whole_step.js';
import { ArrowRow } from '../../components/layout/row.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

const pages = /** @type {Record<string, () => unknown>} */ ({
  bottle: BottleStep,
  look: LookStep,
  first_nose: FirstNoseStep,
  second_nose: SecondNoseStep,
  sips: SipsStep,
  whole: WholeStep,
  verdict: VerdictStep,
});

/** @param {{ step: string }} props */
export function StepPage({ step }) {
  const pour = currentPour.value;
  const Questions = pages[step];
  if (!pour || !Questions) return null;
  const following = nextStep(step);
  const note = `/pour/${pour.tasting}/note`;
  return html`<${Page} className="page step-page" title=${t(`pour.step_${step}`)} back=${note}
      trailing=${html`<a class="state-words wine-aside" href=${`#${note}`}>${pourTitle()}</a>`}>
    <${StepProgress} current=${step} />
    <${SaveErrorBanner} /><${ChillingRows} />
    <p class="voice guide">${t(`pour.guide_${step}`)}</p>
    <${Questions} />
    ${
      !following &&
      html`<${ArrowRow} className="ruled-row to-evidence" href=${`#/pour/${pour.tasting}/evidence`}
          name=${t('pour.evidence')} line=${t('pour.evidence_note')} />`
    }
    <${AtThumb} key=${step}>
      ${
        following &&
        html`<a class=${isFinished.value ? 'button' : 'button primary'} href=${`#/pour/${pour.tasting}/${following}`}>
          ${t('pour.next_step', { step: t(`pour.step_${following}`) })}
        </a>`
      }
      ${
        (isFinished.value || !following) &&
        html`<button type="button" class="button primary" onClick=${finish}>
          ${t(isFinished.value ? 'pour.done' : 'pour.keep')}
        </button>`
      }
    <//>
  <//>`;
}
