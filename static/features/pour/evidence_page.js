// Page of conclusions after the verdict, each with its reasons and their strength.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Page } from '../shell/page.js';
import { Evidence } from '../../domain/evidence/evidence.js';
import { currentPour, isFinished, isLabelHidden, validValues } from '../../domain/pour/current_pour.js';
import { pourTitle } from '../../domain/pour/pour_title.js';
import { finish } from './quick_note.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

export function EvidencePage() {
  const pour = currentPour.value;
  if (!pour) return null;
  return html`<${Page} title=${t('pour.evidence')} back=${`/pour/${pour.tasting}/verdict`}
      trailing=${false}>
    <p class="name">${pourTitle()}</p>
    <p class="voice guide">${t('pour.guide_evidence')}</p>
    <${Evidence} id=${pour.tasting} tasting=${validValues('tasting')} bottle=${validValues('bottle')}
        covered=${isLabelHidden.value} />
    <${AtThumb}>
    <button type="button" class="button primary" onClick=${finish}>${t(isFinished.value ? 'pour.done' : 'pour.keep')}
    </button>
    <//>
  <//>`;
}
