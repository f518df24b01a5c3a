// Leads a tasting: one step is open for everybody, with its guidance; the leader sees how many have
// answered, never what.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { TextField } from '../../../components/form/field.js';
import { Disclosure } from '../../../components/layout/disclosure.js';
import { ArrowRow } from '../../../components/layout/row.js';
import { Page } from '../../shell/page.js';
import { changeTable } from '../../../domain/table/edits.js';
import { openIndex, places, stateOf } from '../../../domain/table/flow.js';
import { isLedByPlace } from '../../../domain/table/by_place.js';
import { inOrder } from '../../../domain/table/steps.js';
import { useOverlay } from '../../../domain/table/overlay.js';
import { visitors } from '../../../domain/table/table_records.js';
import { tableName } from '../../../domain/table/table_name.js';
import { guidanceText } from '../set/guidance_fields.js';
import { useFrequentSync } from '../frequent_sync.js';
import { GlassMark } from '../glass_mark.js';
import { useTop } from '../../../components/layout/use_top.js';
import { whoIsThere } from '../who_is_there.js';
import { DoneCount } from './done_count.js';
import { EndButton } from './end_button.js';
import { Glasses } from './glasses.js';
import { glassNumber, Moves } from './moves.js';
import { OpenResults } from './open_results.js';
import { OwnGlass } from './own_glass.js';
import { SilentGuests } from './silent_guests.js';
import { Unreachable } from './unreachable.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords }} props */
export function LeadPage({ table }) {
  const fields = table.row?.fields ?? {};
  const id = table.row?.id ?? '';
  const isRunning = stateOf(table) === 'open';
  const { open_glass: glass, open_step: step } = fields;
  useFrequentSync(isRunning, visitors(table).length === 0);
  useTop(`${glass}/${step}`);
  const isLed = fields['pace'] !== 'free' && isRunning;
  const guests = html`<a class="state-words" href=${`#/table/${id}/invite`}>
    ${whoIsThere(table)}</a>`;
  return html`<${Page} title=${tableName(fields)} back="/table" trailing=${guests}>
    ${isRunning && html`<${Unreachable} />`}
    ${isRunning && html`<${SilentGuests} table=${table} />`}
    ${isLed && html`<${Led} table=${table} />`}
    ${!isLed && isRunning && html`<p class="voice guide">${t('table.free_guide')}</p>`}
    ${!isLed && isRunning && html`<${OwnGlass} table=${table} place=${null} />`}
    <${Glasses} table=${table} />
    <${Ways} table=${table} />
    ${isRunning && html`<${Moves} table=${table} />`}
  <//>`;
}

/** @param {{ table: TableRecords }} props */
function Led({ table }) {
  const place = places(table)[openIndex(table)];
  const glass = table.glasses.find((row) => row.id === place?.glass);
  if (!place || !glass) return html`<p class="voice guide">${t('table.all_tasted')}</p>`;
  const steps = inOrder(table.row?.fields['steps']);
  return html`<section class="table-now" aria-label=${t('table.now')}>
      <p class="table-where">${
        isLedByPlace(table)
          ? html`<strong>${t('table.glass_at', { number: glassNumber(table, place.glass) })}</strong>`
          : html`<${GlassMark} mark=${glass.fields['mark']} />`
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
function Ways({ table }) {
  const id = table.row?.id ?? '';
  const isRunning = stateOf(table) === 'open';
  const way = (/** @type {string} */ page, /** @type {string} */ line = '') =>
    html`<li><${ArrowRow} href=${`#/table/${id}/${page}`} name=${t(`table.${page}`)} line=${line || null} /></li>`;
  return html`<ul class="ruled table-part">
      ${isRunning && way('invite', t('table.invite_line'))}
      ${isRunning && way('pass', t('table.pass_line'))}
      ${way('results', t('table.results_line'))}
      ${isRunning && html`<${OpenResults} table=${table} />`}
      ${way('set', t('table.set_line'))}
    </ul>
    ${isRunning && html`<${EndButton} table=${table} />`}`;
}
