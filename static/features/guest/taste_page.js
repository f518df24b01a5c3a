// Tasting along: follows the step that the leader has opened, or lets the guest choose.
import { html, useEffect, useRef } from '../../lib/ui.js';
import { useTop } from '../../components/layout/use_top.js';
import { t } from '../../i18n.js';
import { toTop } from '../../router.js';
import { fieldsOfStep, hasAnyAnswer } from '../../domain/table/steps.js';
import { freePlace, glassesOf, isClosed } from '../../domain/guest/place.js';
import { valuesOfGlass } from '../../domain/guest/seat_state.js';
import { addTyped, typedOfGlass } from '../../domain/guest/typed_words.js';
import { useLazy } from '../shell/lazy.js';
import { Announcer } from './announcer.js';
import { isUnfinished, StillOpen, useServerTime } from './closing.js';
import { EveryoneAt } from './everyone_at.js';
import { nowOf, useFollowed } from './follow.js';
import { glassName, GlassRow } from './glass_row.js';
import { GlassOverview } from './glass_overview.js';
import { GuestPage } from './guest_page.js';
import { LateElsewhere } from './late_answers.js';
import { StepView } from './step_view.js';
import { TableMenu } from './table_menu.js';
import { TurnCover } from './turn_cover.js';
import { Waiting } from './waiting.js';
import { go, whereOf } from './where.js';

/** @typedef {import('./where.js').Shown} Shown */
/** @typedef {import('../../domain/guest/guest_store.js').View} View */

const notesPart = () => import('./own_notes.js').then(({ OwnNotes }) => OwnNotes);
const endingPart = () => import('./ending.js').then(({ Ending }) => Ending);

/** @param {{ open: import('../../domain/guest/guest_store.js').Seat, path: string[] }} props */
export function TastePage({ open, path }) {
  const { view, origin, table } = open;
  const where = whereOf(path, view);
  const isFollowing = where.page === 'now';
  const now = nowOf(view);
  const nowMs = useServerTime(view);
  const { place, left, isHeld, release } = useFollowed(now, isFollowing, view, (before) =>
    isUnfinished(view, before, nowMs),
  );
  const start = useRef(/** @type {import('../../domain/guest/place.js').Place | null} */ (null));
  const own = freePlace(view, start.current, valuesOfGlass);
  // Should the leader let everyone go at their own pace, the page stays.
  start.current = own ?? (place?.isTalk ? null : place);
  const led = place && { glass: place.glass, step: place.isTalk ? null : place.step };
  const shown = isFollowing ? (led ?? own) : where.shown;
  const glass = glassesOf(view).find(({ id }) => id === shown?.glass);
  const choose = (/** @type {Shown | null} */ next) => go(table, next);
  const followNow = () => {
    release();
    toTop();
    go(table, null);
  };
  useAddTyped(view, shown, nowMs);
  useTop(isFollowing ? `now/${shown?.glass}/${shown?.step}` : path.join('/'));
  const title = glass ? glassName(glass) : view['table'].name || t('guest.welcome');
  const isElsewhere = isHeld || (!isFollowing && !isAt(shown, now));
  return html`<${GuestPage} title=${title} hasStatus=${true}>
    <${Announcer} view=${view} now=${now} name=${nameOf(now)} />
    ${isFollowing && !isHeld && html`<${TurnCover} place=${place?.key ?? ''} title=${title} name=${nameOf(place)} />`}
    <${GlassRow} view=${view} current=${glass?.id ?? ''} open=${now?.glass ?? ''}
      onChoose=${(/** @type {string} */ id) => choose({ glass: id, step: null })} />
    <${EveryoneAt} view=${view} now=${now} isElsewhere=${isElsewhere} isHeld=${isHeld} onGo=${followNow} />
    ${
      left &&
      isFollowing &&
      !isHeld &&
      html`<${StillOpen} view=${view} left=${left} place=${place} nowMs=${nowMs} onBack=${() => choose(left)} />`
    }
    <${LateElsewhere} view=${view} shown=${shown} onChoose=${choose} />
    ${!isFollowing && !glass && html`<${OtherPart} open=${open} page=${where.page} />`}
    ${isFollowing && !glass && html`<${Waiting} open=${open} onChoose=${choose} />`}
    ${
      glass &&
      (shown?.step
        ? html`<${StepView} key=${`${glass.id}/${shown.step}`} view=${view} glass=${glass} step=${shown.step}
            nowMs=${nowMs} onChoose=${choose} />`
        : html`<${GlassOverview} key=${glass.id} view=${view} glass=${glass} nowMs=${nowMs}
            onChoose=${choose} />`)
    }
    ${
      (!glass || !shown?.step) &&
      html`<${TableMenu} isByCodes=${origin === 'qr'} hasNotes=${where.page !== 'notes' && hasNotes(view)}
        hasResults=${(glass || where.page === 'notes') && Boolean(view['results'])} />`
    }
  <//>`;
}

/**
 * Draw a page beside the tasting.
 * @param {{ open: import('../../domain/guest/guest_store.js').Seat, page: string }} props
 */
function OtherPart({ open, page }) {
  const Part = useLazy(page === 'results' ? endingPart : notesPart);
  return Part && html`<${Part} open=${open} />`;
}

/** @param {import('./follow.js').Now | null} place */
function nameOf(place) {
  if (!place) return '';
  return place.isTalk ? t('guest.talk_now') : t(`group_step.${place.step}`);
}

/** @param {Shown | null} shown @param {import('./follow.js').Now | null} now */
function isAt(shown, now) {
  return Boolean(now && shown?.glass === now.glass && shown.step === (now.isTalk ? null : now.step));
}

/**
 * Add known aromas that were typed on steps which are not shown, or take none.
 * @param {View} view
 * @param {Shown | null} shown
 * @param {number} nowMs the server's time
 */
function useAddTyped(view, shown, nowMs) {
  const glass = glassesOf(view).find(({ id }) => id === shown?.glass);
  const open = glass && shown?.step && !isClosed(view, glass, shown.step, nowMs) ? shown : null;
  useEffect(() => {
    addTyped((id, field) => id === open?.glass && fieldsOfStep(String(open.step)).includes(field));
  }, [open?.glass, open?.step]);
}

/** @param {View} view */
function hasNotes(view) {
  return glassesOf(view).some(({ id }) => hasAnyAnswer({ ...valuesOfGlass(id), ...typedOfGlass(id) }));
}
