// What the signs say, after the verdict: each line with its reason and how strongly it speaks.
import { html, useEffect, useState } from '../../ui.js';
import { t } from '../../words.js';
import { bottlesOf, tastingsNewest } from '../../book/read.js';
import { learnSigns } from '../../trade/age_signs.js';
import { Page } from '../page.js';
import { AgeEvidence } from './evidence_age.js';
import { OakEvidence, QualityEvidence, SweetnessEvidence, WarmthEvidence } from './evidence_lines.js';
import { inHand, isClosed, isCovered, sound } from './in_hand.js';
import { wineName } from './naming.js';
import { close } from './note.js';
import { styleOf } from './style_finder.js';

/** @typedef {import('../../trade/age_signs.js').OwnSigns} OwnSigns */

const LOOKED_BACK = 500;

export function EvidencePage() {
  const hand = inHand.value;
  const own = useOwnSigns();
  if (!hand) return null;
  const tasting = sound('tasting');
  // A covered label tells nothing here either.
  const bottle = isCovered.value ? {} : sound('bottle');
  const told = { tasting, bottle, style: isCovered.value ? null : styleOf(bottle['style']) };
  return html`<${Page} title=${t('pour.evidence')} back=${`/pour/${hand.tasting}/verdict`} aside=${html`<span class="state-words wine-aside">${wineName()}</span>`}>
    <p class="voice guide">${t('pour.guide_evidence')}</p>
    <${QualityEvidence} ...${told} /><${AgeEvidence} ...${told} own=${own} /><${OakEvidence} ...${told} /><${WarmthEvidence} ...${told} /><${SweetnessEvidence} ...${told} />
    <p class="field-note">${t('pour.evidence_basis')}</p>
    <div class="at-thumb"><button type="button" class="button primary" onClick=${close}>${t(isClosed.value ? 'pour.done' : 'pour.keep')}</button></div>
  <//>`;
}

/** @returns {OwnSigns | null} how the signs fell out on this taster's own bottles of known vintage */
function useOwnSigns() {
  const [own, setOwn] = useState(/** @type {OwnSigns | null} */ (null));
  useEffect(() => { confirmed().then((pairs) => setOwn(learnSigns(pairs))); }, []);
  return own;
}

async function confirmed() {
  const id = inHand.peek()?.tasting;
  const tastings = (await tastingsNewest(LOOKED_BACK)).filter((row) => row.id !== id && !row.fields['example']);
  const bottles = await bottlesOf(tastings.map((row) => row.fields['bottle']));
  return tastings.flatMap((row) => {
    const bottle = bottles.get(row.fields['bottle'])?.fields;
    return bottle?.['vintage'] ? [{ tasting: row.fields, bottle }] : [];
  });
}
