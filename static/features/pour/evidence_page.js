// What the signs say, after the verdict: each line with its reason and how strongly it speaks.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Page } from '../shell/page.js';
import { Readout } from '../../domain/evidence/evidence.js';
import { inHand, isClosed, isCovered, sound } from '../../domain/pour/current_pour.js';
import { wineName } from '../../domain/pour/pour_title.js';
import { close } from './quick_note.js';

export function EvidencePage() {
  const hand = inHand.value;
  if (!hand) return null;
  return html`<${Page} title=${t('pour.evidence')} back=${`/pour/${hand.tasting}/verdict`} aside=${html`<span class="state-words wine-aside">${wineName()}</span>`}>
    <p class="voice guide">${t('pour.guide_evidence')}</p>
    <${Readout} id=${hand.tasting} tasting=${sound('tasting')} bottle=${sound('bottle')} covered=${isCovered.value} />
    <div class="at-thumb"><button type="button" class="button primary" onClick=${close}>${t(isClosed.value ? 'pour.done' : 'pour.keep')}</button></div>
  <//>`;
}
