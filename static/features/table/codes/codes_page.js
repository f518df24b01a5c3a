// Guests without a network: shows the table as QR codes, and reads the guests' answers from theirs.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Page } from '../../shell/page.js';
import { flightDocument } from '../../../domain/table/qr_documents.js';
import { ScanFrames, ShowFrames } from '../../../domain/table/qr_exchange.js';
import { saveScanned } from '../../../domain/table/qr_scanned.js';
import { glassesFor } from '../../../domain/table/table_records.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */
/** @typedef {import('../../../domain/table/qr_scanned.js').Scanned} Scanned */

/** @param {{ table: TableRecords }} props */
export function CodesPage({ table }) {
  const [isScanning, setScanning] = useState(false);
  return html`<${Page} title=${t('guest.codes_title')} back=${`/table/${table.row?.id}/invite`} trailing="">
    ${isScanning ? html`<${ScanSheets} table=${table} />` : html`<${ShowFlight} table=${table} />`}
    <div class="at-thumb"><button type="button" class="button primary" onClick=${() => setScanning(!isScanning)}>
      ${t(isScanning ? 'guest.codes_show_table' : 'guest.codes_scan')}</button></div>
  <//>`;
}

/** @param {{ table: TableRecords }} props */
function ShowFlight({ table }) {
  const glasses = glassesFor(table).map(({ id, fields }) => ({ id, mark: fields['mark'] ?? null }));
  const document = flightDocument(table.row?.id ?? '', table.row?.fields ?? {}, glasses);
  return html`<p class="voice guide">${t('guest.codes_guide')}</p>
    <${ShowFrames} document=${document} label=${t('guest.codes_table_label')} />
    <p class="soft small">${t('guest.codes_where', { address: location.host })}</p>`;
}

/** @param {{ table: TableRecords }} props */
function ScanSheets({ table }) {
  const [scanned, setScanned] = useState(/** @type {Scanned[]} */ ([]));
  const use = async (/** @type {any} */ document) => {
    const result = await saveScanned(table.row?.id ?? '', document);
    setScanned((before) => [result, ...before.filter((other) => said(other) !== said(result))]);
  };
  return html`<p class="voice guide">${t('guest.codes_scan_guide')}</p>
    <${ScanFrames} onDocument=${use} />
    <ul class="ruled" role="status">${scanned.map(
      (result) => html`<li class="table-glass" key=${said(result)}>${said(result)}</li>`,
    )}</ul>`;
}

/** @param {Scanned} result */
function said(result) {
  if (result.state !== 'saved') return t(`guest.scanned_${result.state}`);
  const { name, glasses: count, refused } = result;
  const read = t('guest.scanned', { name: name || t('guest.somebody'), count });
  return refused ? `${read} ${t('guest.scanned_refused', { count: refused })}` : read;
}
