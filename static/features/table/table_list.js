// All tastings at the table, and the ways to set a new one.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { date } from '../../lib/format.js';
import { allOf, liveSignal } from '../../store/queries.js';
import { readAfterWrites } from '../../store/write.js';
import { ArrowRow } from '../../components/layout/row.js';
import { Page } from '../shell/page.js';
import { SeatList } from '../../domain/guest/seat_list.js';
import { createTable } from '../../domain/table/edits.js';
import { usualLeaderName } from '../../domain/table/leader_name.js';
import { tableName } from '../../domain/table/table_name.js';
import { PeopleList } from './people.js';
import { LESSONS, lessonFields, usualFields } from './set/lessons.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/** @typedef {import('../../store/record.js').Row} Row */

/** @type {{ tables: Row[], asked: boolean }} */
const INITIAL_VALUE = { tables: [], asked: false };

/** Read the tables, newest first; those still open come before the past ones. */
async function readTables() {
  const tables = (await allOf('group_tasting')).reverse();
  const isPast = (/** @type {Row} */ row) => (row.fields['ended_at'] ? 1 : 0);
  return { tables: tables.sort((a, b) => isPast(a) - isPast(b)), asked: true };
}

export function TableList() {
  const { tables, asked } = useMemo(() => liveSignal(readTables, INITIAL_VALUE), []).value;
  const running = tables.filter((row) => !row.fields['ended_at']);
  const past = tables.filter((row) => row.fields['ended_at']);
  const set = async (/** @type {Record<string, any>} */ fields, /** @type {number} */ glasses) => {
    // The host's name may just have been noted at another table.
    const { tables: stored } = await readAfterWrites(readTables);
    const leader_name = await usualLeaderName(stored);
    navigate(`/table/${await createTable({ leader_name, ...fields }, glasses)}`);
  };
  return html`<${Page} title=${t('app.room_table')}>
    ${
      asked &&
      html`<p class="voice guide">${t('table.guide')}</p>
      <${Tables} title=${t('table.running')} rows=${running} />
      <${SeatList} title=${t('table.as_guest')} className="table-part" />
      <section class="table-part"><${ArrowRow} className="ruled-row" href="#/guest" name=${t('table.join')}
        line=${t('table.join_line')} /></section>
      <${Lessons} onSet=${set} />
      <${Tables} title=${t('table.past')} rows=${past} />
      <${PeopleList} />`
    }
    <${AtThumb}>
      <button type="button" class="button primary" onClick=${() => set(usualFields(), 0)}>${t('table.set_new')}
      </button>
    <//>
  <//>`;
}

/** @param {{ title: string, rows: Row[] }} props */
function Tables({ title, rows }) {
  if (!rows.length) return null;
  return html`<section class="table-part"><h2>${title}</h2><ul class="ruled">${rows.map(
    ({ id, fields }) => html`<li key=${id}>
      <${ArrowRow} href=${`#/table/${id}`} name=${tableName(fields)} line=${lineOf(fields)} /></li>`,
  )}</ul></section>`;
}

/** @param {Record<string, any>} fields */
function lineOf({ on, started_at, ended_at }) {
  const state = ended_at ? null : t(started_at ? 'table.state_open' : 'table.state_new');
  return [state, on ? date(on) : null].filter(Boolean).join(' \u00b7 ');
}

/** @param {{ onSet: (fields: Record<string, any>, glasses: number) => void }} props */
function Lessons({ onSet }) {
  return html`<section class="table-part"><h2>${t('table.lessons')}</h2><ul class="ruled">${LESSONS.map(
    (lesson) => html`<li key=${lesson.id}>
      <${ArrowRow} name=${t(`table.${lesson.id}`)} line=${t(`table.${lesson.id}_line`)}
        onClick=${() => onSet(lessonFields(lesson), lesson.glasses)} /></li>`,
  )}</ul></section>`;
}
