// A guest's sheet on the leader's phone: one step of one glass, saved as it is entered.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { finishTimer } from '../../store/finish_timer.js';
import { enqueue } from '../../domain/pour/autosave_queue.js';
import { styleOf } from '../../domain/style_names.js';
import { orderNumber } from '../../domain/table/by_place.js';
import { isCovered } from '../../domain/table/covered.js';
import { sheetEdit } from '../../domain/table/edits.js';
import { isClosed } from '../../domain/table/flow.js';
import { useOverlay } from '../../domain/table/overlay.js';
import { SheetForm } from '../../domain/table/sheet_form.js';
import { sheetId } from '../../domain/table/sheet_id.js';
import { hasAnswer, inOrder } from '../../domain/table/steps.js';
import { tastedBefore } from '../../domain/table/same_wine.js';
import { answersOf, bottleOf, glassesFor } from '../../domain/table/table_records.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('../../domain/table/table_records.js').TableRecords} TableRecords */
/** @typedef {import('../../domain/table/flow.js').Place} Place */

/**
 * Draw the step that everybody is at, or where everybody goes at their own pace any step of any glass.
 * @param {{ table: TableRecords, guest: Row, place: Place | null, glasses: Row[] }} props glasses: in the guest's order
 */
export function SheetSteps({ table, guest, place, glasses }) {
  const [chosen, setChosen] = useState(glasses[0]?.id ?? '');
  if (place) return html`<${SheetStep} table=${table} guest=${guest} glass=${place.glass} step=${place.step} />`;
  return html`<div class="choices" role="group" aria-label=${t('table.glasses')}>${glasses.map(
    (glass) => html`<button type="button" class="choice" key=${glass.id} aria-pressed=${glass.id === chosen}
      onClick=${() => setChosen(glass.id)}>${glass.fields['mark']}</button>`,
  )}</div>
    <${AllSteps} key=${chosen} table=${table} guest=${guest} glass=${chosen} />`;
}

/** @param {{ table: TableRecords, guest: Row, glass: string }} props */
function AllSteps({ table, guest, glass }) {
  const steps = inOrder(table.row?.fields['steps']);
  const [step, setStep] = useState(steps[0] ?? '');
  const answers = answersOf(table, guest.id, glass);
  return html`<div class="choices" role="group" aria-label=${t('table.steps')}>${steps.map(
    (each) => html`<button type="button" class="choice" key=${each} aria-current=${each === step ? 'step' : undefined}
      data-done=${hasAnswer(each, answers)} onClick=${() => setStep(each)}>${t(`group_step.${each}`)}</button>`,
  )}</div>
    <${SheetStep} key=${step} table=${table} guest=${guest} glass=${glass} step=${step} />`;
}

/** @param {{ table: TableRecords, guest: Row, glass: string, step: string }} props */
export function SheetStep({ table, guest, glass, step }) {
  const id = sheetId(guest.id, glass);
  const [values, patch] = useOverlay(id, answersOf(table, guest.id, glass));
  const row = table.glasses.find((each) => each.id === glass);
  const head = table.row?.fields ?? {};
  const bottle = (row && bottleOf(table, row)?.fields) ?? null;
  const isHidden = isCovered(table, row);
  const change = (/** @type {string} */ field, /** @type {any} */ value) => {
    patch({ [field]: value });
    enqueue([sheetEdit(table, guest.id, glass, { [field]: value })]);
  };
  useEffect(() => {
    finishTimer.restore();
  }, []);
  const running = finishTimer.value;
  const timer = {
    startedAt: running?.tasting === id ? running.started_ms : null,
    onStart: (/** @type {number | null} */ started_ms) =>
      finishTimer.set(started_ms === null ? null : { tasting: id, started_ms }),
  };
  const isShut = !row || isClosed(table, guest, row, step);
  return html`${isShut && html`<p class="field-note">${t('table.step_closed')}</p>`}
    <${SheetForm} step=${step} values=${values} onChange=${change} disabled=${isShut} timer=${timer}
      guesses=${head['ask_guesses'] !== false && isHidden}
      others=${othersOf(table, guest, glass)} colour=${colourOf(bottle)} bottle=${isHidden ? null : bottle} />`;
}

/** @param {TableRecords} table @param {Row} guest @param {string} glass */
function othersOf(table, guest, glass) {
  const tasted = tastedBefore(glassesFor(table, orderNumber(guest)), glass, (id) => answersOf(table, guest.id, id));
  return tasted.map(({ id, fields }) => ({ id, mark: fields['mark'] ?? null }));
}

/**
 * Return the colour of the wine, which a covered bottle still shows in the glass.
 * @param {Record<string, any> | null} bottle
 */
function colourOf(bottle) {
  return bottle?.['colour'] ?? styleOf(bottle?.['style'])?.colour ?? null;
}
