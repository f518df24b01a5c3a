// Talk about one glass: the answers of all are laid open, then the label is uncovered.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { timestamp } from '../../../lib/datetime.js';
import { saveMany } from '../../../store/write.js';
import { ArrowRow } from '../../../components/layout/row.js';
import { showToast } from '../../../components/layout/toast.js';
import { Page } from '../../shell/page.js';
import { isLedByPlace } from '../../../domain/table/by_place.js';
import { answeredCount, openIndex, showAnswers, stateOf } from '../../../domain/table/flow.js';
import { glassesFor } from '../../../domain/table/table_records.js';
import { useFrequentSync } from '../frequent_sync.js';
import { GlassAnswers } from './glass_answers.js';
import { Label } from './label.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords, item: string | undefined }} props item: the glass */
export function TalkPage({ table, item }) {
  const glass = table.glasses.find(({ id }) => id === item);
  const home = `/table/${table.row?.id}`;
  useFrequentSync(stateOf(table) === 'open');
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
  const answered = answeredCount(table, glass.id);
  // Somebody may come to this glass later.
  const isEarly = isLedByPlace(table) && openIndex(table) !== -1;
  const open = async () => {
    const edits = showAnswers(table, glass, timestamp());
    await saveMany(edits);
    scrollTo(0, 0);
    showToast(t('table.laid_open'), () => {
      saveMany(edits.map((edit) => ({ ...edit, fields: before(glass, edit.fields) })));
    });
  };
  return html`<p class="voice guide">${t('table.talk_guide')}</p>
    <p role="status">${t('table.answered', { answered, count: table.guests.length })}</p>
    <p class="soft small">${t('table.lay_open_note')}</p>
    ${isEarly && html`<p class="notice">${t('table.talk_early')}</p>`}
    <div class="at-thumb"><button type="button" class="button primary" onClick=${open}>${t('table.lay_open')}</button>
    </div>`;
}

/** @param {{ table: TableRecords, glass: Row }} props */
function Open({ table, glass }) {
  const all = glassesFor(table);
  const next = all[all.findIndex(({ id }) => id === glass.id) + 1];
  const isHidden = table.row?.fields['labels_hidden'] === true;
  const uncover = async () => {
    await saveMany([{ kind: 'glass', id: glass.id, fields: { uncovered_at: timestamp() } }]);
    scrollTo(0, 0);
    showToast(t('table.uncovered'), () => {
      saveMany([{ kind: 'glass', id: glass.id, fields: { uncovered_at: null } }]);
    });
  };
  const canUncover = isHidden && !glass.fields['uncovered_at'];
  return html`${!canUncover && html`<${Label} table=${table} glass=${glass} />`}
    <${GlassAnswers} table=${table} glass=${glass} />
    ${
      next &&
      html`<${ArrowRow} className="ruled-row" href=${`#/table/${table.row?.id}/talk/${next.id}`}
      name=${t('table.talk_next', { mark: next.fields['mark'] ?? '' })} />`
    }
    <div class="at-thumb">${
      canUncover
        ? html`<button type="button" class="button primary" onClick=${uncover}>${t('table.uncover')}</button>`
        : html`<a class="button primary" href=${`#/table/${table.row?.id}`}>${t('table.back_to_table')}</a>`
    }</div>`;
}

/** @param {Row} glass @param {Record<string, any>} changed @returns {Record<string, any>} the values before */
function before(glass, changed) {
  return Object.fromEntries(Object.keys(changed).map((field) => [field, glass.fields[field] ?? null]));
}
