// The glasses of a table: each wine from the notebook, from home, or new by its name.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { showToast } from '../../../components/layout/toast.js';
import { wineName } from '../../../domain/bottle_names.js';
import { bottleOf } from '../../../domain/table/table_records.js';
import { moveGlass, pourInto, takeGlassesAway } from '../../../domain/table/edits.js';
import { restoreMany, saveMany } from '../../../store/write.js';
import { GlassSheet } from './glass_sheet.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** Letters of the alphabet with some room; more glasses than anybody can taste. */
const MAX_GLASSES = 20;

/** @param {{ table: TableRecords, isOpen: boolean }} props isOpen: whether the glasses can still change */
export function GlassList({ table, isOpen }) {
  // null: closed; a glass, or an empty text for a new one
  const [filled, setFilled] = useState(/** @type {string | null} */ (null));
  const choose = async (/** @type {{ bottle: string } | { name: string }} */ wine) => {
    await pourInto(table, filled || null, wine);
    setFilled(null);
  };
  return html`<section class="table-part"><h2>${t('table.glasses')}</h2>
    <ol class="ruled">${table.glasses.map(
      (glass, at) => html`<${Glass} key=${glass.id} table=${table} glass=${glass} at=${at} isOpen=${isOpen}
        onFill=${() => setFilled(glass.id)} />`,
    )}</ol>
    ${!table.glasses.length && html`<p class="soft">${t('table.no_glasses')}</p>`}
    ${
      isOpen &&
      table.glasses.length < MAX_GLASSES &&
      html`<button type="button" class="button" onClick=${() => setFilled('')}>${t('table.add_glass')}</button>`
    }
    <${GlassSheet} open=${filled !== null} onClose=${() => setFilled(null)} onChoose=${choose} />
  </section>`;
}

/** @param {{ table: TableRecords, glass: Row, at: number, isOpen: boolean, onFill: () => void }} props */
function Glass({ table, glass, at, isOpen, onFill }) {
  const bottle = bottleOf(table, glass);
  const mark = glass.fields['mark'] ?? '';
  const name = bottle ? wineName(bottle.fields) : t('table.glass_empty');
  const takeAway = async () => {
    await takeGlassesAway(table, [glass.id]);
    const before = table.glasses.map(({ kind, id, fields }) => ({
      kind,
      id,
      fields: { position: fields['position'], mark: fields['mark'] },
    }));
    showToast(t('table.glass_gone', { mark }), async () => {
      await restoreMany([{ kind: 'glass', id: glass.id }]);
      await saveMany(before);
    });
  };
  // A glass without a wine may get one later: "any wine you have".
  const canFill = isOpen || !bottle;
  return html`<li class="table-glass"><span class="glass-mark">${mark}</span>
    ${
      canFill
        ? html`<button type="button" class="grow table-glass-name name" onClick=${onFill}>${name}</button>`
        : html`<span class="grow name">${name}</span>`
    }
    ${
      isOpen &&
      html`<button type="button" class="icon-button" disabled=${at === 0} aria-label=${t('table.glass_up', { mark })}
        onClick=${() => moveGlass(table, glass.id, -1)}><span aria-hidden="true">${'\u2191'}</span></button>
      <button type="button" class="icon-button" aria-label=${t('table.glass_take', { mark })} onClick=${takeAway}>
        <span aria-hidden="true">${'\u00d7'}</span></button>`
    }</li>`;
}
