// Takes over a person whom another notebook shows as QR codes, after saying who it is and what they agreed to.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { navigate } from '../../../router.js';
import { date } from '../../../lib/format.js';
import { showToast } from '../../../components/layout/toast.js';
import { ScanFrames } from '../../../domain/table/qr_exchange.js';
import { readPersonDocument } from '../../../domain/table/person_document.js';
import { saveScannedPerson } from '../../../domain/table/person_scanned.js';
import { Page } from '../../shell/page.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @typedef {import('../../../domain/table/person_document.js').ScannedPerson} ScannedPerson */

export function TakePage() {
  const [scanned, setScanned] = useState(/** @type {ScannedPerson | null} */ (null));
  const [isOther, setOther] = useState(false);
  const use = (/** @type {any} */ document) => {
    const found = readPersonDocument(document);
    setOther(!found);
    setScanned(found);
  };
  return html`<${Page} title=${t('table.person_take')} back="/table" trailing="">
    ${
      scanned
        ? html`<${Agreed} scanned=${scanned} />`
        : html`<p class="voice guide">${t('table.take_how')}</p>
      ${isOther && html`<p class="field-error" role="alert">${t('table.take_not_person')}</p>`}
      <${ScanFrames} onDocument=${use} />`
    }
  <//>`;
}

/** @param {{ scanned: ScannedPerson }} props */
function Agreed({ scanned }) {
  const { id, name: who, agreed_at, count } = scanned;
  const keep = async () => {
    const added = await saveScannedPerson(scanned);
    navigate(`/table/person/${id}`, { replace: true });
    showToast(added ? t('table.take_saved', { who, count: added }) : t('table.take_known', { who }));
  };
  return html`<p class="voice guide">${t('table.take_what', { who, count })}</p>
    <p class="table-agreed">${t('table.take_agreed', { who, date: date(agreed_at) })}</p>
    <${AtThumb}><a class="button" href="#/table">${t('table.take_not')}</a>
      <button type="button" class="button primary" onClick=${keep}>${t('table.take_keep', { who })}</button><//>`;
}
