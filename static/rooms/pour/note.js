// The quick note: what it was, what the label says of its strength, how it is liked, and a line of words.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { go } from '../../router.js';
import { say } from '../../parts/said.js';
import { useUnfolded } from '../../parts/unfolding.js';
import { Page, StateWords } from '../page.js';
import { BottleOffer, KnownBottle } from './bottle_offer.js';
import { Figure, Held, Liking, Line } from './controls.js';
import { EveningRow } from './evening_row.js';
import { nextGlass } from './glasses.js';
import { inHand, isClosed, isCovered, says, wasClosed } from './in_hand.js';
import { keep, reopen } from './keeping.js';
import { FirstLook, LeftOpen } from './left_open.js';
import { wineName } from './naming.js';
import { PaceReminder } from './pace_reminder.js';
import { StandingRow } from './standing_row.js';
import { StepThread } from './step_thread.js';
import { StyleField } from './style_field.js';
import { readStep, steps } from './steps.js';
import { Trouble } from './trouble.js';
import { WhereRow } from './where.js';

export function Note() {
  const hand = inHand.value;
  if (!hand) return null;
  return html`<${Page} title=${t(isClosed.value ? 'pour.mend' : 'app.room_pour')} back=${isClosed.value ? `/book/${hand.tasting}` : undefined} aside=${html`<${StateWords} />`}>
    <${Trouble} />
    <${PaceReminder} /><${StandingRow} />
    <${WhereRow} />
    ${isCovered.value ? html`<p class="covered-name name">${wineName()}</p>` : html`<${NamedBottle} />`}
    <${Liking} />
    <div class="quick-words"><${Line} field="words" long=${true} label=${t('pour.line_of_words')} /></div>
    <${Below} />
    <div class="at-thumb"><button type="button" class="button primary" onClick=${close}>${t(isClosed.value ? 'pour.done' : 'pour.keep')}</button><${FirstLook} /></div>
  <//>`;
}

/** What leads on from the quick note comes after it is painted. */
function Below() {
  return useUnfolded(() => [html`<${InFull} />`, html`<${LeftOpen} />`, html`<${EveningRow} />`], []);
}

function InFull() {
  return html`<section class="in-full"><h2 class="unseen">${t('pour.in_full')}</h2>
    <a class="row in-full-row" href=${`#/pour/${inHand.value?.tasting}/${firstStep()}`}><span class="grow"><span class="name">${t('pour.in_full')}</span><span class="soft small">${t('pour.in_full_note')}</span></span><span aria-hidden="true">${'\u2192'}</span></a>
    <${StepThread} />
  </section>`;
}

function NamedBottle() {
  return html`<${KnownBottle}>
      <${Line} side="bottle" field="name" big=${true} label=${t('field.name')} placeholder=${t('pour.name_placeholder')} />
      <${BottleOffer} />
    <//>
    <div class="pair style-and-strength"><${StyleField} /><${Figure} side="bottle" field="label_abv" label=${t('pour.alcohol')} unit=${t('pour.percent')} /></div>`;
}

/** The first step where nothing stands yet; the bottle is known by now when its name is. */
function firstStep() {
  return says.bottle.value['name'] && says.bottle.value['style'] ? steps[1] : steps[0];
}

let pressedOn = '';

/** @param {MouseEvent} press the second press of a double one was not meant for the next pour, which the first one opened */
export async function close(press) {
  const tasting = inHand.peek()?.tasting ?? '';
  if (wasClosed.peek() !== null || (press.detail > 1 && tasting !== pressedOn)) return undefined;
  pressedOn = tasting;
  const name = wineName();
  const mended = isClosed.peek();
  const visit = says.tasting.peek()['visit'];
  const hidden = isCovered.peek();
  wasClosed.value = mended;
  const kept = await keep().finally(() => { wasClosed.value = null; });
  if (kept.outcome !== 'kept') return say(t(`pour.${kept.outcome}`));
  if (mended) return go(`/book/${tasting}`);
  say(t('pour.kept', { name }), () => reopen(kept.tasting).then(() => go('/pour', { replace: true })));
  go(await following({ visit, hidden, kept: kept.tasting }), { replace: true });
  return scrollTo(0, 0);
}

/** The next covered glass of a flight; after its last one the visit, to be uncovered; else a fresh pour. @param {{ visit: string | null | undefined, hidden: boolean, kept: string }} pour */
async function following({ visit, hidden, kept }) {
  if (!hidden || !visit) return '/pour';
  const glass = await nextGlass(visit, kept);
  return glass ? `/pour/${glass}/note` : `/pour/visit/${visit}`;
}
