// The leader's own sheet, folded until it is wanted.
import { html, signal } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { SheetSteps } from '../sheet_steps.js';
import { addGuest } from '../../../domain/table/edits.js';
import { ownPlace } from '../../../domain/table/flow.js';
import { glassesFor } from '../../../domain/table/table_records.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** The table whose leader has the own sheet open; it stays open from step to step. */
const openAt = signal(/** @type {string | null} */ (null));

/**
 * Move the search up while something is typed, because the buttons at the thumb would cover what it finds.
 * @param {Event} event
 */
function showFound({ target }) {
  if (!(target instanceof HTMLInputElement) || target.type !== 'search' || !target.value) return;
  requestAnimationFrame(() => target.scrollIntoView({ block: 'start' }));
}

/**
 * @param {{ table: TableRecords, place: import('../../../domain/table/flow.js').Place | null }} props place: the open
 *   step; null where everybody goes at their own pace
 */
export function OwnGlass({ table, place }) {
  const own = table.guests.find(({ fields }) => fields['entry'] === 'leader');
  const id = table.row?.id ?? null;
  const isOpen = openAt.value === id;
  const open = async () => {
    if (!own) await addGuest(table, 'leader', table.row?.fields['leader_name'] ?? null);
    openAt.value = id;
  };
  if (!isOpen || !own)
    return html`<div class="buttons"><button type="button" class="button" aria-expanded="false" onClick=${open}>
      ${t('table.own_glass')}</button></div>`;
  return html`<section class="table-own" onInput=${showFound}>
    <div class="side-head"><h2>${t('table.own_glass_title')}</h2>
      <button type="button" class="button plain" aria-expanded="true" onClick=${() => (openAt.value = null)}>
        ${t('table.own_close')}</button></div>
    <${SheetSteps} table=${table} guest=${own} place=${place && ownPlace(table, place, own)}
      glasses=${glassesFor(table, own.fields['number'] ?? 1)} />
  </section>`;
}
