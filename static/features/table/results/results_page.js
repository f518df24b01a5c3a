// What the table says: order by liking, agreement, steadiness and closeness of tastes.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { date } from '../../../lib/format.js';
import { ArrowRow } from '../../../components/layout/row.js';
import { Page } from '../../shell/page.js';
import { tableSummary } from '../../../rules/table/table_summary.js';
import { bottleLine } from '../../../domain/bottle_names.js';
import { isCovered } from '../../../domain/table/covered.js';
import { ledTable } from '../../../domain/table/led_table.js';
import { OrderSection, ScalesSection, TwiceSection } from '../../../domain/table/results_view.js';
import { bottleOf } from '../../../domain/table/table_records.js';
import { TasteMap } from '../../../domain/table/taste_map_view.js';
import { isFresh, stateOf } from '../../../domain/table/flow.js';
import { tableName } from '../../../domain/table/table_name.js';
import { nextAction } from '../../../domain/table/next_action.js';
import { glassName } from '../lead/glasses.js';
import { ActionLink } from '../lead/moves.js';
import { OpenResults } from '../lead/open_results.js';
import { DeleteTable } from '../delete_table.js';
import { useFrequentSync } from '../frequent_sync.js';
import { RememberGuests } from '../people.js';
import { whoIsThere } from '../who_is_there.js';
import { OwnNotes } from './own_notes.js';
import { ResultsShare } from './results_share.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords }} props */
export function ResultsPage({ table }) {
  const shown = useMemo(() => openOnly(table), [table]);
  const summary = useMemo(() => tableSummary(ledTable(shown)), [shown]);
  const names = namesOf(shown);
  const all = namesOf(table);
  const home = `/table/${table.row?.id}`;
  const isOver = stateOf(table) === 'ended';
  useFrequentSync(isFresh(table, Date.now()));
  const waiting = table.glasses.length - shown.glasses.length;
  const canShow = stateOf(table) === 'open' && shown.glasses.length > 0;
  return html`<${Page} title=${t('table.results')} back=${isOver ? '/table' : home} trailing="">
    <p class="voice guide">${tableName(table.row?.fields ?? {})}</p>
    <p class="soft small">${headLine(table)}</p>
    ${isOver && html`<${OwnNotes} table=${table} />`}
    ${canShow && html`<ul class="ruled table-part"><${OpenResults} table=${table} /></ul>`}
    ${waiting > 0 && html`<p class="notice">${t('table.results_waiting', { count: waiting })}</p>`}
    ${(shown.glasses.length > 0 || isOver) && html`<${OrderSection} summary=${summary} ...${names} />`}
    <${ScalesSection} summary=${summary} />
    <${TwiceSection} summary=${summary} ...${names} />
    <${TasteMap} tastes=${summary.tastes} guest=${names.guest} />
    <section class="table-part"><h2>${t('table.glasses')}</h2><ul class="ruled">${table.glasses.map(
      (glass) => html`<li key=${glass.id}><${ArrowRow} href=${`#${home}/talk/${glass.id}`}
        name=${all.glass(glass.id)} line=${labelLine(table, glass)} /></li>`,
    )}</ul></section>
    <${RememberGuests} guests=${table.guests} />
    <${ResultsShare} table=${shown} line=${headLine(table)} summary=${summary} ...${names} />
    ${isOver && html`<${DeleteTable} table=${table} />`}
    ${waiting > 0 && html`<${AtThumb}><${ActionLink} table=${table} action=${nextAction(table)} /><//>`}
  <//>`;
}

/** Return when it was, who led, and who was there. @param {TableRecords} table */
function headLine(table) {
  const { on, place, leader_name: leader } = table.row?.fields ?? {};
  const said = [
    on && date(on),
    place,
    leader && t('table.led_by', { leader }),
    whoIsThere(table),
    t('table.glass_count', { count: table.glasses.length }),
  ];
  return said.filter(Boolean).join(' \u00b7 ');
}

/** @param {TableRecords} table @param {import('../../../store/record.js').Row} glass @returns {string | null} */
function labelLine(table, glass) {
  return (!isCovered(table, glass) && bottleLine(bottleOf(table, glass))) || null;
}

/**
 * Keep only what may be seen: the leader does not see the likings of a glass before its answers are laid open.
 * @param {TableRecords} table
 * @returns {TableRecords}
 */
function openOnly(table) {
  if (stateOf(table) === 'ended') return table;
  return { ...table, glasses: table.glasses.filter(({ fields }) => fields['discussed_at']) };
}

/** @param {TableRecords} table */
function namesOf(table) {
  const input = ledTable(table);
  const isNamed = table.row?.fields['names_shown'] === true;
  return {
    glass: (/** @type {string} */ id) => {
      const row = table.glasses.find((glass) => glass.id === id);
      const mark = row?.fields['mark'] ?? '';
      const name = row ? glassName(table, row) : '';
      return name === t('table.glass', { mark }) ? name : t('table.glass_named', { mark, name });
    },
    guest: (/** @type {string} */ id) =>
      isNamed
        ? (input.guests.find((guest) => guest.id === id)?.name ?? '')
        : t('table.guest_number', { number: input.guests.findIndex((guest) => guest.id === id) + 1 }),
  };
}
