// Where the notes are stored: this phone, the server, the browser's promise to keep them, and what
// the server rejected.
import { html } from '../../lib/ui.js';
import { searchIndex } from '../../domain/search_index.js';
import { requestPersistence, storageState } from '../../store/persistence.js';
import { syncNow, syncStatus } from '../../sync/index.js';
import { date, time } from '../../lib/format.js';
import { t } from '../../i18n.js';
import { ProgressLine } from '../../components/layout/progress_line.js';
import { showToast } from '../../components/layout/toast.js';
import { unsentText } from '../shell/page.js';
import { RejectedRecords } from './rejected_records.js';
import { RejectedPhotos } from './rejected_photos.js';

export function StorageStatus() {
  const { phase, onlyHere, rejected, lastSynced, progress } = syncStatus.value;
  const tastings = searchIndex.value?.length ?? 0;
  const isAllSent = onlyHere.notes + onlyHere.changes === 0;
  const isReceiving = phase === 'syncing' && isAllSent;
  // A round that finds nothing new is not shown, because the page would move with each.
  const receiving = progress?.total ? 'receiving' : 'idle';
  const progressName = t(isReceiving ? 'settings.progress_of' : 'settings.progress_sent');
  return html`<section class="settings-part" aria-labelledby="settings-keeping">
    <h2 id="settings-keeping">${t('settings.keeping')}</h2>
    <p class="soft phase" role="status">${t(`settings.phase_${isReceiving ? receiving : phase}`)}</p>
    <dl class="status-list">
      <${StatusRow} name=${t('settings.on_phone')} figure=${t('settings.on_phone_figure', { count: tastings })} />
      <${StatusRow} name=${t('settings.unsent')}
          figure=${isAllSent ? t('settings.unsent_none') : unsentText(onlyHere)} />
      ${
        progress?.total
          ? html`<${StatusRow} name=${progressName} figure=${t('settings.progress', progress)}>
            <${ProgressLine} label=${progressName} share=${progress.done / progress.total} />
          <//>`
          : html`<${StatusRow} name=${t('settings.last_synced')}
              figure=${lastSynced ? `${date(lastSynced)}, ${time(lastSynced)}` : t('settings.never_synced')} />`
      }
      <${StatusRow} name=${t('settings.storage')} figure=${t(`settings.storage_${promise()}`)} />
    </dl>
    ${promise() !== 'promised' && html`<${StorageNote} />`}
    <div class="buttons">
    <button type="button" class="button" disabled=${phase === 'syncing'} onClick=${copyNow}>${t('settings.sync_now')}
    </button>
    </div>
    <${RejectedRecords} records=${rejected} />
    <${RejectedPhotos} />
  </section>`;
}

/** @param {{ name: string, figure: string, children?: unknown }} props */
export function StatusRow({ name, figure, children }) {
  return html`<div><dt>${name}</dt><dd class="figure">${figure}${children}</dd></div>`;
}

/** Return a text for the browser's answer about persistent storage. */
function promise() {
  const { persisted } = storageState.value;
  return persisted === null ? 'unknown' : persisted ? 'promised' : 'not_promised';
}

function StorageNote() {
  return html`<div class="line-note"><p class="soft small">${t('settings.storage_note')}</p>
    <button type="button" class="button plain" onClick=${askAgain}>${t('settings.storage_ask')}</button></div>`;
}

async function askAgain() {
  showToast(t((await requestPersistence()) ? 'settings.storage_yes' : 'settings.storage_no'));
}

async function copyNow() {
  const end = await syncNow();
  const left = syncStatus.value.rejected.length;
  showToast(end === 'done' && left ? t('settings.copied_but', { count: left }) : t(`settings.copied_${end}`));
}
