// Leads a tasting: one step is open for everybody, with its guidance; the leader sees how many have
// answered, never what.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { timestamp } from '../../../lib/datetime.js';
import { save, saveMany } from '../../../store/write.js';
import { TextField } from '../../../components/form/field.js';
import { Disclosure } from '../../../components/layout/disclosure.js';
import { ArrowRow } from '../../../components/layout/row.js';
import { showToast } from '../../../components/layout/toast.js';
import { Page } from '../../shell/page.js';
import { changeTable } from '../../../domain/table/edits.js';
import { goBack, goOn, openIndex, places, stateOf } from '../../../domain/table/flow.js';
import { isLedByPlace } from '../../../domain/table/by_place.js';
import { inOrder } from '../../../domain/table/steps.js';
import { useOverlay } from '../../../domain/table/overlay.js';
import { glassesFor } from '../../../domain/table/table_records.js';
import { tableName } from '../../../domain/table/table_name.js';
import { guidanceText } from '../set/guidance_fields.js';
import { useFrequentSync } from '../frequent_sync.js';
import { DoneCount } from './done_count.js';
import { Glasses } from './glasses.js';
import { OpenResults } from './open_results.js';
import { OwnGlass } from './own_glass.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords }} props */
export function LeadPage({ table }) {
  const fields = table.row?.fields ?? {};
  const id = table.row?.id ?? '';
  const isRunning = stateOf(table) === 'open';
  useFrequentSync(isRunning);
  const isLed = fields['pace'] !== 'free' && isRunning;
  const guests = html`<a class="state-words" href=${`#/table/${id}/invite`}>
    ${t('table.guest_count', { count: table.guests.length })}</a>`;
  return html`<${Page} title=${tableName(fields)} back="/table" trailing=${guests}>
    ${isLed && html`<${Led} table=${table} />`}
    ${!isLed && isRunning && html`<p class="voice guide">${t('table.free_guide')}</p>`}
    ${!isLed && isRunning && html`<${OwnGlass} table=${table} place=${null} />`}
    <${Glasses} table=${table} />
    <${Ways} table=${table} />
    ${isLed && html`<${Moves} table=${table} />`}
  <//>`;
}

/** @param {{ table: TableRecords }} props */
function Led({ table }) {
  const place = places(table)[openIndex(table)];
  const glass = table.glasses.find((row) => row.id === place?.glass);
  if (!place || !glass) return html`<p class="voice guide">${t('table.all_tasted')}</p>`;
  const steps = inOrder(table.row?.fields['steps']);
  return html`<section class="table-now">
      <p class="table-where">${
        isLedByPlace(table)
          ? html`<strong>${t('table.glass_at', { number: glassNumber(table, place.glass) })}</strong>`
          : html`<span class="glass-mark">${glass.fields['mark']}</span>`
      }
        <span class="soft">${t('table.step_of', { step: steps.indexOf(place.step) + 1, steps: steps.length })}</span>
      </p>
      ${isLedByPlace(table) && html`<p class="soft small">${t('table.by_place_note')}</p>`}
      <h2>${t(`group_step.${place.step}`)}</h2>
      <${Guidance} key=${place.step} table=${table} step=${place.step} />
      <${DoneCount} table=${table} place=${place} />
    </section>
    <${OwnGlass} key=${`${place.glass}/${place.step}`} table=${table} place=${place} />
    ${
      table.row?.fields['words'] &&
      html`<${Disclosure} label=${t('table.notes')}><p class="table-notes">${table.row.fields['words']}</p><//>`
    }`;
}

/** @param {{ table: TableRecords, step: string }} props */
function Guidance({ table, step }) {
  const [isOpen, setOpen] = useState(false);
  const [fields, patch] = useOverlay(table.row?.id ?? '', table.row?.fields ?? {});
  const field = `guidance_${step}`;
  const write = (/** @type {string | null} */ text) => {
    patch({ [field]: text });
    changeTable(table, { [field]: text });
  };
  if (!isOpen)
    return html`<p class="voice table-guidance">${guidanceText(fields, step)}</p>
    <button type="button" class="button plain" onClick=${() => setOpen(true)}>${t('table.guidance_edit')}</button>`;
  return html`<${TextField} label=${t('table.guidance_said')} long=${true} maxLength=${400} value=${fields[field]}
      placeholder=${t(`guest.guidance_${step}`)} onChange=${write} />
    <button type="button" class="button" onClick=${() => setOpen(false)}>${t('pour.done')}</button>`;
}

/** @param {{ table: TableRecords }} props */
function Moves({ table }) {
  const all = places(table);
  const at = openIndex(table);
  const next = all[at + 1];
  const isOver = at === -1;
  const back = () => saveMany(goBack(table));
  const on = () => {
    scrollTo(0, 0);
    return saveMany(goOn(table, timestamp()));
  };
  const label =
    next && next.glass === all[at]?.glass
      ? t('table.next_step', { step: t(`group_step.${next.step}`) })
      : next
        ? nextGlass(table, next.glass)
        : t('table.close_last');
  return html`<div class="at-thumb table-moves">
    ${at !== 0 && html`<button type="button" class="button" onClick=${back}>${t('table.step_back')}</button>`}
    ${
      isOver
        ? html`<a class="button primary" href=${`#/table/${table.row?.id}/results`}>${t('table.to_results')}</a>`
        : html`<button type="button" class="button primary" onClick=${on}>${label}</button>`
    }</div>`;
}

/**
 * The place of a glass in the first order.
 * @param {TableRecords} table
 * @param {string} glass
 */
function glassNumber(table, glass) {
  return 1 + glassesFor(table).findIndex(({ id }) => id === glass);
}

/** @param {TableRecords} table @param {string} glass */
function nextGlass(table, glass) {
  if (isLedByPlace(table)) return t('table.next_at', { number: glassNumber(table, glass) });
  return t('table.next_glass', { mark: table.glasses.find(({ id }) => id === glass)?.fields['mark'] ?? '' });
}

/** @param {{ table: TableRecords }} props */
function Ways({ table }) {
  const id = table.row?.id ?? '';
  const isRunning = stateOf(table) === 'open';
  const end = async () => {
    await save('group_tasting', id, { ended_at: timestamp(), open_glass: null, open_step: null });
    showToast(t('table.ended'), () => {
      save('group_tasting', id, { ended_at: null });
    });
  };
  const way = (/** @type {string} */ page, /** @type {string} */ line = '') =>
    html`<li><${ArrowRow} href=${`#/table/${id}/${page}`} name=${t(`table.${page}`)} line=${line || null} /></li>`;
  return html`<ul class="ruled table-part">
      ${isRunning && way('invite', t('table.invite_line'))}
      ${isRunning && way('pass', t('table.pass_line'))}
      ${way('results', t('table.results_line'))}
      ${isRunning && html`<${OpenResults} table=${table} />`}
      ${way('set', t('table.set_line'))}
    </ul>
    ${
      isRunning &&
      html`<div class="buttons"><button type="button" class="button plain" onClick=${end}>${t('table.end')}</button>
    </div>`
    }`;
}
