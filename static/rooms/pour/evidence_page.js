// What the signs say, after the verdict: each line with its reason and how strongly it speaks.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { Page } from '../page.js';
import { Readout } from '../readout/readout.js';
import { inHand, isClosed, isCovered, sound } from './in_hand.js';
import { wineName } from './naming.js';
import { close } from './note.js';

export function EvidencePage() {
  const hand = inHand.value;
  if (!hand) return null;
  return html`<${Page} title=${t('pour.evidence')} back=${`/pour/${hand.tasting}/verdict`} aside=${html`<span class="state-words wine-aside">${wineName()}</span>`}>
    <p class="voice guide">${t('pour.guide_evidence')}</p>
    <${Readout} id=${hand.tasting} tasting=${sound('tasting')} bottle=${sound('bottle')} covered=${isCovered.value} />
    <div class="at-thumb"><button type="button" class="button primary" onClick=${close}>${t(isClosed.value ? 'pour.done' : 'pour.keep')}</button></div>
  <//>`;
}
