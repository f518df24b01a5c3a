// Records of an added copy that were not merged, each with the way to it and the reason.
import { html, useMemo } from '../../lib/ui.js';
import { liveSignal } from '../../store/queries.js';
import { t } from '../../i18n.js';
import { ArrowRow } from '../../components/layout/row.js';
import { editHash, nameOf } from './rejected_records.js';

/** @typedef {import('../../account/api.js').SkippedRecord} SkippedRecord */

/** @param {{ records: SkippedRecord[] }} props */
export function SkippedRecords({ records }) {
  if (!records.length) return null;
  return html`<div class="import-skipped">
    <p class="warm" role="alert">${t('settings.import_skipped', { count: records.length })}</p>
    <ul class="ruled">${records.map((record) => html`<li key=${record.id}><${Entry} record=${record} /></li>`)}</ul>
  </div>`;
}

/** @param {{ record: SkippedRecord }} props */
function Entry({ record: { kind, id, code } }) {
  const name = useMemo(() => liveSignal(() => nameOf(kind, id), ''), [kind, id]).value;
  return html`<${ArrowRow} href=${editHash(kind, id)} name=${name} line=${t(`error.${code}`)} />`;
}
