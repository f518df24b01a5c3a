// The glasses of a running tasting: how far each is, and the way to its talk.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Row } from '../../../components/layout/row.js';
import { wineName } from '../../../domain/bottle_names.js';
import { areLabelsHidden, isCovered } from '../../../domain/table/covered.js';
import { bottleOf, glassesFor, visitors } from '../../../domain/table/table_records.js';
import { glassNotedLine } from '../noted_line.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords }} props */
export function Glasses({ table }) {
  return html`<section class="table-part"><h2>${t('table.glasses')}</h2><ul class="ruled">${glassesFor(table).map(
    (glass) => html`<li key=${glass.id}>
      <${Row} href=${`#/table/${table.row?.id}/talk/${glass.id}`} name=${glassName(table, glass)}
        line=${lineOf(table, glass)} before=${html`<span class="glass-mark">${glass.fields['mark']}</span>`}>
        <span aria-hidden="true">${'\u2192'}</span><//></li>`,
  )}</ul></section>`;
}

/**
 * Name the wine only where its label may be seen at the table, because guests look over the leader's shoulder.
 * @param {TableRecords} table
 * @param {import('../../../store/record.js').Row} glass
 */
export function glassName(table, glass) {
  const bottle = bottleOf(table, glass);
  return bottle && !isCovered(table, glass)
    ? wineName(bottle.fields)
    : t('table.glass', { mark: glass.fields['mark'] ?? '' });
}

/** @param {TableRecords} table @param {import('../../../store/record.js').Row} glass */
function lineOf(table, glass) {
  const { discussed_at, uncovered_at } = glass.fields;
  if (uncovered_at && areLabelsHidden(table.row?.fields ?? {})) return t('table.glass_uncovered');
  if (discussed_at) return t('table.glass_talked');
  return visitors(table).length ? glassNotedLine(table, glass.id) : null;
}
