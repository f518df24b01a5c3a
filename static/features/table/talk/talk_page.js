// Talk about one glass: the answers of all are laid open, then the label is uncovered.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { toTop } from '../../../router.js';
import { list } from '../../../lib/format.js';
import { saveMany } from '../../../store/write.js';
import { showToast } from '../../../components/layout/toast.js';
import { Page } from '../../shell/page.js';
import { isLedByPlace } from '../../../domain/table/by_place.js';
import { isCovered } from '../../../domain/table/covered.js';
import { doneAt, goOn, openIndex, stateOf } from '../../../domain/table/flow.js';
import { tableMoment } from '../../../domain/table/moment.js';
import { nameAmong } from '../../../domain/table/guest_name.js';
import { nextAction } from '../../../domain/table/next_action.js';
import { ActionLink, stepLabel } from '../lead/moves.js';
import { useFrequentSync } from '../frequent_sync.js';
import { goAfter } from '../go_after.js';
import { showWithUndo } from '../show_with_undo.js';
import { glassNotedLine } from '../noted_line.js';
import { useTop } from '../../../components/layout/use_top.js';
import { GlassAnswers } from './glass_answers.js';
import { Label } from './label.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords, item: string | undefined }} props item: the glass */
export function TalkPage({ table, item }) {
  const glass = table.glasses.find(({ id }) => id === item);
  const home = `/table/${table.row?.id}`;
  useFrequentSync(stateOf(table) === 'open');
  useTop(String(item));
  if (!glass)
    return html`<${Page} title=${t('table.talk')} back=${home} trailing="">
    <p class="empty voice">${t('table.glass_missing')}</p><//>`;
  const isOpen = Boolean(glass.fields['discussed_at']);
  return html`<${Page} title=${t('table.glass', { mark: glass.fields['mark'] ?? '' })} back=${home} trailing="">
    ${isOpen ? html`<${Open} table=${table} glass=${glass} />` : html`<${Waiting} table=${table} glass=${glass} />`}
  <//>`;
}

/** @param {{ table: TableRecords, glass: Row }} props */
function Waiting({ table, glass }) {
  // Somebody may come to this glass later.
  const isEarly = isLedByPlace(table) && openIndex(table) !== -1;
  const { open_glass: openGlass, open_step: step } = table.row?.fields ?? {};
  const tasting = !isEarly && openGlass === glass.id && step ? doneAt(table, { glass: openGlass, step }).tasting : [];
  const open = async () => {
    await showWithUndo(table, glass);
    toTop();
  };
  return html`<p class="voice guide">${t('table.talk_guide')}</p>
    <p role="status">${glassNotedLine(table, glass.id)}</p>
    ${
      tasting.length
        ? html`<p class="notice">${t('table.talk_waiting', { names: list(tasting.map(nameAmong(table.guests))) })}</p>`
        : html`<p class="soft small">${t('table.lay_open_note')}</p>`
    }
    ${isEarly && html`<p class="notice">${t('table.talk_early')}</p>`}
    <${AtThumb}><button type="button" class="button primary" onClick=${open}>${t('table.lay_open')}</button>
    <//>`;
}

/** @param {{ table: TableRecords, glass: Row }} props */
function Open({ table, glass }) {
  const uncover = async () => {
    await saveMany([{ kind: 'glass', id: glass.id, fields: { uncovered_at: tableMoment() } }]);
    toTop();
    showToast(t('table.uncovered'), () => {
      saveMany([{ kind: 'glass', id: glass.id, fields: { uncovered_at: null } }]);
    });
  };
  const canUncover = isCovered(table, glass);
  // Uncovering is the next thing to do once there is nothing else to taste or to talk about.
  const isNext = canUncover && nextAction(table).kind === 'uncover';
  return html`${!canUncover && html`<${Label} table=${table} glass=${glass} />`}
    <${GlassAnswers} table=${table} glass=${glass} />
    <${AtThumb} isTall>
      ${
        canUncover &&
        html`<button type="button" class=${isNext ? 'button primary' : 'button'} onClick=${uncover}>
          ${t('table.uncover')}</button>`
      }
      ${!isNext && html`<${Onward} table=${table} glass=${glass} />`}<//>`;
}

/**
 * Draw the way on to the next step or glass, talk, label or result.
 * @param {{ table: TableRecords, glass: Row }} props
 */
function Onward({ table, glass }) {
  const action = nextAction(table);
  const home = `/table/${table.row?.id}`;
  const isHere = table.row?.fields['open_glass'] === glass.id && !isLedByPlace(table);
  if (stateOf(table) === 'ended')
    return html`<a class="button primary" href=${`#${home}/results`}>${t('table.to_results')}</a>`;
  if ((action.kind !== 'step' && action.kind !== 'pass') || !isHere)
    return html`<${ActionLink} table=${table} action=${action} />`;
  const on = () => goAfter(saveMany(goOn(table, tableMoment())), home);
  return html`<button type="button" class="button primary" onClick=${on}>${stepLabel(table, action.next)}</button>`;
}
