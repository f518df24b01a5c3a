// The buttons at the thumb of the leader: the natural next action is the large one.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { saveMany } from '../../../store/write.js';
import { isLedByPlace } from '../../../domain/table/by_place.js';
import { tableMoment } from '../../../domain/table/moment.js';
import { goBack, goOn, nextPlace, openIndex, placeBefore, places } from '../../../domain/table/flow.js';
import { nextAction } from '../../../domain/table/next_action.js';
import { leftGlass, leftUnshown } from '../../../domain/table/not_shown.js';
import { glassesFor } from '../../../domain/table/table_records.js';
import { newest } from '../newest.js';
import { AnswersFirst } from './answers_first.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */
/** @typedef {import('../../../domain/table/next_action.js').Action} Action */

/** @param {{ table: TableRecords }} props */
export function Moves({ table }) {
  const action = nextAction(table);
  const isLed = table.row?.fields['pace'] !== 'free';
  const [isAsking, setAsking] = useState(false);
  const [isBusy, setBusy] = useState(false);
  const unshown = leftUnshown(table, nextPlace(table));
  const goFrom = (/** @type {TableRecords} */ now) => {
    setAsking(false);
    saveMany(goOn(now, tableMoment()));
  };
  const go = () => goFrom(table);
  const press = async () => {
    if (unshown || !leftGlass(table, nextPlace(table))) return unshown ? setAsking(true) : go();
    setBusy(true);
    const now = await newest(table).finally(() => setBusy(false));
    return leftUnshown(now, nextPlace(now)) ? setAsking(true) : goFrom(now);
  };
  // After the last step there is nothing left but to talk.
  const isTalkNext = action.kind === 'step' && !action.next && !isLedByPlace(table);
  const talk = html`<${TalkNow} table=${table} action=${action} isNext=${isTalkNext} />`;
  return html`<${AtThumb} isTall>
    ${
      isLed &&
      placeBefore(table) &&
      html`<button type="button" class="button step-back" aria-label=${t('table.step_back')}
        onClick=${() => saveMany(goBack(table))}><span aria-hidden="true">${'\u2190'}</span></button>`
    }
    ${!isTalkNext && talk}
    ${
      (action.kind === 'step' || action.kind === 'pass') &&
      html`<button type="button" class=${action.kind === 'step' && !isTalkNext ? 'button primary' : 'button'}
        disabled=${isBusy} onClick=${press}>${stepLabel(table, action.next)}</button>`
    }
    ${isTalkNext && talk}
    ${action.kind !== 'step' && html`<${ActionLink} table=${table} action=${action} />`}<//>
    <${AnswersFirst} table=${table} glass=${isAsking ? unshown : null} onGo=${go} onClose=${() => setAsking(false)} />`;
}

/**
 * After the last step of a glass one may talk about it at once, or at the end.
 * @param {{ table: TableRecords, action: Action, isNext: boolean }} props
 */
function TalkNow({ table, action, isNext }) {
  const open = places(table)[openIndex(table)];
  if (action.kind !== 'step' || !open || action.next?.glass === open.glass || isLedByPlace(table)) return null;
  const mark = markOf(table, open.glass);
  return html`<a class=${isNext ? 'button primary' : 'button'} href=${`#/table/${table.row?.id}/talk/${open.glass}`}
    aria-label=${t('table.talk_next', { mark })}>${t('table.talk_short', { mark })}</a>`;
}

/** Draw the way to the next talk, label or result. @param {{ table: TableRecords, action: Action }} props */
export function ActionLink({ table, action }) {
  const home = `#/table/${table.row?.id}`;
  if (action.kind === 'step') return html`<a class="button primary" href=${home}>${t('table.back_to_table')}</a>`;
  if (action.kind === 'pass') return html`<a class="button primary" href=${`${home}/pass`}>${t('table.pass_next')}</a>`;
  if (action.kind === 'results')
    return html`<a class="button primary" href=${`${home}/results`}>${t('table.to_results')}</a>`;
  const { glass, kind } = action;
  const mark = glass.fields['mark'] ?? '';
  return html`<a class="button primary" href=${`${home}/talk/${glass.id}`}>
    ${t(kind === 'talk' ? 'table.talk_next' : 'table.uncover_next', { mark })}</a>`;
}

/** @param {TableRecords} table @param {import('../../../domain/table/flow.js').Place | null} next */
export function stepLabel(table, next) {
  const open = places(table)[openIndex(table)];
  if (!next) return t('table.close_last');
  if (next.glass === open?.glass) return t('table.next_step', { step: t(`group_step.${next.step}`) });
  if (isLedByPlace(table)) return t('table.next_at', { number: glassNumber(table, next.glass) });
  return t('table.next_glass', { mark: markOf(table, next.glass) });
}

/** @param {TableRecords} table @param {string} glass @returns {string} */
function markOf(table, glass) {
  return table.glasses.find(({ id }) => id === glass)?.fields['mark'] ?? '';
}

/**
 * Return the place of a glass in the first order.
 * @param {TableRecords} table
 * @param {string} glass
 */
export function glassNumber(table, glass) {
  return 1 + glassesFor(table).findIndex(({ id }) => id === glass);
}
