// The glasses of a table: each wine from the notebook, from home, or new by its name.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { showToast } from '../../../components/layout/toast.js';
import { list } from '../../../lib/format.js';
import { wineName } from '../../../domain/bottle_names.js';
import { bottleOf } from '../../../domain/table/table_records.js';
import { pouredTwice } from '../../../domain/table/arrange.js';
import { moveGlass, pourInto, takeGlassesAway } from '../../../domain/table/edits.js';
import { areGuessesAsked } from '../../../domain/table/steps.js';
import { missingTruths } from '../../../domain/table/truth.js';
import { TruthSheet } from '../truth_sheet.js';
import { Began } from './began.js';
import { GlassSheet } from './glass_sheet.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** Letters of the alphabet with some room; more glasses than anybody can taste. */
const MAX_GLASSES = 20;

/** @param {{ table: TableRecords, isOpen: boolean }} props isOpen: whether the glasses can still change */
export function GlassList({ table, isOpen }) {
  // null: closed; a glass, or an empty text for a new one
  const [filled, setFilled] = useState(/** @type {string | null} */ (null));
  const [noted, setNoted] = useState(/** @type {string | null} */ (null));
  // Closed first, because a second tap before the wine is saved would add one more glass.
  const choose = (/** @type {import('./glass_sheet.js').Wine} */ wine) => {
    setFilled(null);
    return pourInto(table, filled || null, wine);
  };
  const glassOf = table.glasses.find(({ id }) => id === noted) ?? null;
  return html`<section class="table-part"><h2>${t('table.glasses')}</h2>
    <ol class="ruled">${table.glasses.map(
      (glass, at) => html`<${Glass} key=${glass.id} table=${table} glass=${glass} at=${at} isOpen=${isOpen}
        onFill=${() => setFilled(glass.id)} onNote=${() => setNoted(glass.id)} />`,
    )}</ol>
    ${!table.glasses.length && html`<p class="soft">${t('table.no_glasses')}</p>`}
    ${isOpen && html`<${Began} table=${table} />`}
    ${
      isOpen &&
      table.glasses.length < MAX_GLASSES &&
      html`<button type="button" class="button" onClick=${() => setFilled('')}>${t('table.add_glass')}</button>`
    }
    <${TruthSheet} bottle=${glassOf && bottleOf(table, glassOf)} onClose=${() => setNoted(null)} />
    <${GlassSheet} open=${filled !== null} onClose=${() => setFilled(null)} onChoose=${choose} />
  </section>`;
}

/**
 * @param {{ table: TableRecords, glass: Row, at: number, isOpen: boolean, onFill: () => void, onNote: () => void }}
 *   props
 */
function Glass({ table, glass, at, isOpen, onFill, onNote }) {
  const bottle = bottleOf(table, glass);
  const mark = glass.fields['mark'] ?? '';
  const name = bottle ? wineName(bottle.fields) : t('table.glass_empty');
  const takeAway = async () => {
    const undo = await takeGlassesAway(table, [glass.id]);
    showToast(t('table.glass_gone', { mark }), undo);
  };
  // A glass without a wine may get one later: "any wine you have".
  const canFill = isOpen || !bottle;
  return html`<li class="table-glass"><span class="glass-mark">${mark}</span>
    <span class="grow">${
      canFill
        ? html`<button type="button" class="table-glass-name name" onClick=${onFill}>${name}</button>`
        : html`<span class="name">${name}</span>`
    }<${Again} table=${table} glass=${glass} /><${Missing} table=${table} bottle=${bottle} onNote=${onNote} /></span>
    ${
      isOpen &&
      html`<button type="button" class="icon-button" disabled=${at === 0} aria-label=${t('table.glass_up', { mark })}
        onClick=${() => moveGlass(table, glass.id, -1)}><span aria-hidden="true">${'\u2191'}</span></button>
      <button type="button" class="icon-button" aria-label=${t('table.glass_take', { mark })} onClick=${takeAway}>
        <span aria-hidden="true">${'\u00d7'}</span></button>`
    }</li>`;
}

/** Say which glass was added to pour a wine twice. @param {{ table: TableRecords, glass: Row }} props */
function Again({ table, glass }) {
  const twice = pouredTwice(table.glasses);
  if (twice?.second.id !== glass.id) return null;
  return html`<span class="soft small table-entry">${t('table.glass_again', {
    mark: twice.first.fields['mark'] ?? '',
  })}</span>`;
}

/**
 * Show what the guesses about this wine cannot be judged by yet.
 * @param {{ table: TableRecords, bottle: Row | null, onNote: () => void }} props
 */
function Missing({ table, bottle, onNote }) {
  const missing = bottle && areGuessesAsked(table.row?.fields ?? {}) ? missingTruths(bottle.fields) : [];
  if (!missing.length) return null;
  return html`<button type="button" class="button plain table-missing" onClick=${onNote}>
    ${t('table.truths_missing', { names: list(missing.map((truth) => t(`table.truth_${truth}`))) })}</button>`;
}
