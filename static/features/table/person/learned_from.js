// The answers that a person's palate was learned from; each can be left out, or put back.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { date } from '../../../lib/format.js';
import { bottleName, resolveBottle } from '../../../domain/bottle_names.js';
import { isCovered } from '../../../domain/table/covered.js';
import { leaveOut } from '../../../domain/table/person_records.js';
import { tableName } from '../../../domain/table/table_name.js';

/** @typedef {import('../../../domain/table/person_records.js').PersonRecords} PersonRecords */
/** @typedef {import('../../../domain/table/person_records.js').PersonTable} PersonTable */

/** @param {{ who: string, records: PersonRecords }} props */
export function LearnedFrom({ who, records: { tables, bottles } }) {
  if (!tables.length) return null;
  return html`<section class="table-part"><h2>${t('table.person_from')}</h2>
    <p class="soft small">${t('table.person_from_note', { who })}</p>
    ${tables.map(
      (each) => html`<div key=${each.guest.id} class="person-table">
      <h3><a href=${`#/table/${each.table.id}`}>${tableName(each.table.fields)}</a>
        ${each.table.fields['on'] && html` <span class="soft small">${date(each.table.fields['on'])}</span>`}</h3>
      <ul class="ruled">${each.sheets.map(
        (sheet) => html`<${Answer} key=${sheet.id} each=${each} sheet=${sheet} bottles=${bottles} />`,
      )}</ul></div>`,
    )}</section>`;
}

/** @param {{ each: PersonTable, sheet: PersonTable['sheets'][0], bottles: PersonRecords['bottles'] }} props */
function Answer({ each: { table, glasses }, sheet, bottles }) {
  const glass = glasses.find(({ id }) => id === sheet.fields['glass']);
  const mark = glass?.fields['mark'] ?? '';
  const wine =
    !glass || isCovered({ row: table }, glass)
      ? t('table.glass', { mark })
      : bottleName(resolveBottle(bottles, glass.fields['bottle']));
  const isOut = sheet.fields['left_out'] === true;
  return html`<li class="table-glass" data-left-out=${isOut}>
    <span class="grow"><span class="name">${wine}</span>
      <span class="soft small table-entry">${t(isOut ? 'table.person_left_out' : 'table.person_liking', {
        liking: sheet.fields['liking'],
      })}</span></span>
    <button type="button" class="button plain" onClick=${() => leaveOut(sheet.id, !isOut)}
      aria-label=${t(isOut ? 'table.person_put_back_named' : 'table.person_leave_out_named', { wine })}>
      ${t(isOut ? 'table.person_put_back' : 'table.person_leave_out')}</button></li>`;
}
