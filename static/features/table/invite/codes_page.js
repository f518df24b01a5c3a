// Guests whose phones have no network: the table goes to them as QR codes, and their answers come
// back the same way.
import { html, useEffect, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { serverMs } from '../../../store/server_time.js';
import { Page } from '../../shell/page.js';
import { flightDocument } from '../../../domain/table/qr_documents.js';
import { ScanFrames, ShowFrames } from '../../../domain/table/qr_exchange.js';
import { saveScanned } from '../../../domain/table/qr_scanned.js';
import { glassesFor } from '../../../domain/table/table_records.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @typedef {import('../../../domain/table/table_records.js').TableRecords} TableRecords */

/** @param {{ table: TableRecords }} props */
export function CodesPage({ table }) {
  const [isScanning, setScanning] = useState(false);
  // Of the moment that the page was opened, because codes that change cannot be read.
  const [made_ms, setMade] = useState(/** @type {number | null} */ (null));
  useEffect(() => {
    serverMs().then(setMade);
  }, []);
  const id = table.row?.id ?? '';
  const glasses = glassesFor(table).map((glass) => ({ id: glass.id, mark: glass.fields['mark'] ?? null }));
  return html`<${Page} title=${t('table.codes')} back=${`/table/${id}/invite`} trailing="">
    ${
      isScanning
        ? html`<${Scan} table=${id} />`
        : html`<p class="voice guide">${t('table.codes_show')}</p>
      ${
        made_ms !== null &&
        html`<${ShowFrames} document=${flightDocument(id, table.row?.fields ?? {}, glasses, made_ms)}
        label=${t('table.codes_label')} />`
      }`
    }
    <${AtThumb}><button type="button" class="button primary" onClick=${() => setScanning(!isScanning)}>
      ${t(isScanning ? 'table.codes_show_again' : 'table.codes_scan')}</button><//>
  <//>`;
}

/** @param {{ table: string }} props */
function Scan({ table }) {
  const [said, setSaid] = useState('');
  const use = async (/** @type {any} */ document) => {
    const scanned = await saveScanned(table, document);
    setSaid(scanned.state === 'saved' ? savedText(scanned) : t(`table.codes_${scanned.state}`));
  };
  return html`<p class="voice guide">${t('table.codes_scan_how')}</p>
    <${ScanFrames} onDocument=${use} />
    <p role="status">${said}</p>`;
}

/** @param {{ name: string, glasses: number, late: number }} scanned */
function savedText({ name, glasses, late }) {
  const saved = t('table.codes_saved', { name: name || t('table.somebody'), count: glasses });
  return late ? `${saved} ${t('table.codes_late', { count: late })}` : saved;
}
