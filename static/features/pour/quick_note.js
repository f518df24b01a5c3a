// The quick note: what it was, what the label says of its strength, how it is liked, and a line of words.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { showToast } from '../../components/layout/toast.js';
import { useProgressiveList } from '../../components/layout/progressive.js';
import { Page, StateWords } from '../shell/page.js';
import { BottleOffer, KnownBottle } from './bottle/bottle_suggestions.js';
import { Figure, Held, Liking, Line } from '../../domain/pour/fields.js';
import { EveningRow } from './tools_row.js';
import { nextGlass } from '../../domain/blind/glasses.js';
import { inHand, isClosed, isCovered, says, wasClosed } from '../../domain/pour/current_pour.js';
import { keep, reopen } from './finish_pour.js';
import { FirstLook, LeftOpen } from './unfinished_pours.js';
import { wineName } from '../../domain/pour/pour_title.js';
import { PaceReminder } from '../../domain/intake/reminder.js';
import { StandingRow } from '../../domain/serving/chilling_row.js';
import { StepThread } from './step_progress.js';
import { StyleField } from './bottle/style_field.js';
import { readStep, steps } from '../../domain/pour/tasting_steps.js';
import { Trouble } from './save_error_banner.js';
import { WhereRow } from './visit_row.js';

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
  return useProgressiveList(() => [html`<${InFull} />`, html`<${LeftOpen} />`, html`<${EveningRow} />`], []);
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
  if (kept.outcome !== 'kept') return showToast(t(`pour.${kept.outcome}`));
  if (mended) return navigate(`/book/${tasting}`);
  showToast(t('pour.kept', { name }), () => reopen(kept.tasting).then(() => navigate('/pour', { replace: true })));
  navigate(await following({ visit, hidden, kept: kept.tasting }), { replace: true });
  return scrollTo(0, 0);
}

/** The next covered glass of a flight; after its last one the visit, to be uncovered; else a fresh pour. @param {{ visit: string | null | undefined, hidden: boolean, kept: string }} pour */
async function following({ visit, hidden, kept }) {
  if (!hidden || !visit) return '/pour';
  const glass = await nextGlass(visit, kept);
  return glass ? `/pour/${glass}/note` : `/pour/visit/${visit}`;
}
