// Quick note: bottle, label alcohol, liking and a line of text.
import { html, useEffect, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { number } from '../../lib/format.js';
import { arrivals, navigate, toTop } from '../../router.js';
import { showToast } from '../../components/layout/toast.js';
import { useProgressiveList } from '../../components/layout/progressive.js';
import { liveSignal, tastingsBetween } from '../../store/queries.js';
import { useLazy } from '../shell/lazy.js';
import { Page } from '../shell/page.js';
import { BottleSuggestions, LinkedBottle } from './bottle/bottle_suggestions.js';
import { NameInput, settleName } from './bottle/name_input.js';
import { LabelTools, PourPhotos } from './bottle/label_tools.js';
import { NumberInput, LikingInput, TextInput } from '../../domain/pour/fields.js';
import { ToolsRow } from './tools_row.js';
import { nextHiddenGlass } from '../../domain/blind/glasses.js';
import {
  currentPour,
  currentStep,
  isEmpty,
  isFinished,
  isLabelHidden,
  values,
  finishing,
} from '../../domain/pour/current_pour.js';
import { finishPour, reopenPour } from './finish_pour.js';
import { ExampleLink, PourStatus, UnfinishedPours, useIsFirst, Welcome } from './unfinished_pours.js';
import { pourTitle } from '../../domain/pour/pour_title.js';
import { ChillingRows } from '../../domain/serving/chilling_row.js';
import { StepProgress } from './step_progress.js';
import { StyleField } from './bottle/style_field.js';
import { steps } from '../../domain/pour/tasting_steps.js';
import { SaveErrorBanner } from './save_error_banner.js';
import { VisitRow } from './visit_row.js';
import { ArrowRow } from '../../components/layout/row.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

const SESSION_MS = 12 * 3_600_000;
const REMINDER_POURS = 3;
const loadSwallowed = () => import('./swallowed_input.js').then((module) => module.SwallowedInput);
const loadReminder = () => import('../../domain/intake/reminder.js').then((module) => module.IntakeReminder);

export function QuickNote() {
  const pour = currentPour.value;
  const isFirst = useIsFirst();
  if (!pour) return null;
  return html`<${Page} title=${t(isFinished.value ? 'pour.mend' : 'app.room_pour')}
      back=${isFinished.value ? `/book/${pour.tasting}` : undefined}
      trailing=${html`<${PourStatus} isFirst=${isFirst} />`}>
    <${Welcome} isFirst=${isFirst} /><${SaveErrorBanner} />
    <${Reminder} /><${ChillingRows} />
    <${VisitRow} />
    ${isLabelHidden.value ? html`<p class="covered-name name">${pourTitle()}</p>` : html`<${NamedBottle} />`}
    <${LikingInput} />
    <div class="quick-words"><${TextInput} field="words" multiline=${true} label=${t('pour.line_of_words')} /></div>
    <${BelowFold} />
    <${AtThumb}>
    <button type="button" class="button primary" onClick=${finish}>${t(isFinished.value ? 'pour.done' : 'pour.keep')}
    </button>
    <${ExampleLink} isFirst=${isFirst} />
    <//>
  <//>`;
}

/** Show the reminder to drink water, which is loaded when there are enough pours for one. */
function Reminder() {
  const since = Date.now() - SESSION_MS;
  const poured = useMemo(() => liveSignal(() => tastingsBetween(since, since + 2 * SESSION_MS), []), []).value;
  const IntakeReminder = useLazy(poured.length < REMINDER_POURS ? null : loadReminder);
  return IntakeReminder && html`<${IntakeReminder} />`;
}

/** Render the sections below the fold after the first paint. */
function BelowFold() {
  useEffect(() => {
    // The first number format takes the browser longer than a tap may take.
    setTimeout(() => number(0));
  }, []);
  return useProgressiveList(
    () => [
      html`<${InVisit} />`,
      html`<${PourPhotos} />`,
      html`<${DetailsLink} />`,
      html`<${UnfinishedPours} />`,
      html`<${ToolsRow} />`,
    ],
    [],
  );
}

/** Ask in one tap whether the wine was spat; elsewhere than on a visit the last steps ask it. */
function InVisit() {
  const Swallowed = useLazy(values.tasting.value['visit'] ? loadSwallowed : null);
  return Swallowed && html`<${Swallowed} />`;
}

function DetailsLink() {
  return html`<section class="in-full"><h2 class="unseen">${t('pour.in_full')}</h2>
    <${ArrowRow} className="in-full-row" href=${`#/pour/${currentPour.value?.tasting}/${firstStep()}`}
        name=${t('pour.in_full')} line=${t('pour.in_full_note')} />
    <${StepProgress} />
  </section>`;
}

function NamedBottle() {
  return html`<${LinkedBottle}>
      <${NameInput} withVintage=${true} />
      <${BottleSuggestions} />
    <//>
    <${LabelTools} />
    <div class="pair style-and-strength">
      <${StyleField} />
      <${NumberInput} side="bottle" field="label_abv" label=${t('pour.alcohol')} unit=${t('pour.percent')} />
    </div>`;
}

/** Return the first step to do: the bottle step, unless all is known that another bottle could be told apart by. */
function firstStep() {
  const { name, style, producer, vintage, non_vintage } = values.bottle.value;
  const isIdentified = isLabelHidden.value || (producer && (vintage || non_vintage));
  return name && style && isIdentified ? steps[1] : steps[0];
}

const showMarked = () => import('./marked_step.js').then((page) => page.showMarked());

export async function finish() {
  if (finishing.peek() !== null) return undefined;
  const tasting = currentPour.peek()?.tasting ?? '';
  const arrival = arrivals.peek();
  const wasFinished = isFinished.peek();
  finishing.value = wasFinished;
  await settleName().catch(() => undefined);
  const name = pourTitle();
  const visit = values.tasting.peek()['visit'];
  const hidden = isLabelHidden.peek();
  const inSteps = currentStep.peek() !== 'note';
  const result = await finishPour().finally(() => {
    finishing.value = null;
  });
  const hasLeft = arrivals.peek() !== arrival;
  if (result.outcome !== 'kept') {
    // A note whose values were all cleared is gone, so its address shows nothing.
    if (!hasLeft && currentPour.peek()?.tasting !== tasting) navigate('/pour', { replace: true });
    if (!hasLeft && result.outcome === 'faulty') await showMarked().catch(() => {});
    const isBlank = result.outcome === 'blank';
    // A second tap on Save must not replace "Saved" and its Undo.
    return showToast(t(`pour.${result.outcome}`), null, { yields: isBlank, isOver: () => isBlank && !isEmpty.value });
  }
  if (wasFinished) return hasLeft || navigate(`/book/${tasting}`);
  showToast(t('pour.kept', { name }), () =>
    reopenPour(result.tasting).then(() => navigate('/pour', { replace: true })),
  );
  if (hasLeft) return undefined;
  navigate(await nextRoute({ visit, hidden, inSteps, tasting: result.tasting }), { replace: true });
  return toTop();
}

/**
 * Return the route of the next hidden glass of the flight, of the visit after the last one, of the note that took all
 * steps, or of a new pour.
 * @param {{ visit: string | null | undefined, hidden: boolean, inSteps: boolean, tasting: string }} pour
 */
async function nextRoute({ visit, hidden, inSteps, tasting }) {
  if (!hidden || !visit) return inSteps ? `/book/${tasting}` : '/pour';
  const glass = await nextHiddenGlass(visit, tasting);
  return glass ? `/pour/${glass}/note` : `/pour/visit/${visit}`;
}
