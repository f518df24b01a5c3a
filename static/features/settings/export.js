// Downloads the whole notebook as one file. Fetched first, because the request needs the browser
// key as a header.
import { html, useState } from '../../lib/ui.js';
import { download } from '../../lib/download.js';
import { exported } from '../../account/api.js';
import { showToast } from '../../components/layout/toast.js';
import { t } from '../../i18n.js';
import { useConfirmation } from './confirm_passphrase.js';
import { accountErrorText } from './account_error_text.js';

export function Export() {
  const { run, form } = useConfirmation();
  const [busy, setBusy] = useState(false);
  const [saved, setSaved] = useState('');
  const exportAll = async () => {
    setBusy(true);
    await run(exported).then(
      (made) => {
        download(made);
        setSaved(made.name);
      },
      (error) => {
        showToast(accountErrorText(error));
      },
    );
    setBusy(false);
  };
  return (
    form ||
    html`<div class="buttons">
    <button type="button" class="button" disabled=${busy} onClick=${exportAll}>${t('settings.export')}</button>
  </div>
  <${SavedAs} name=${saved} />`
  );
}

/** Say where the copy went. @param {{ name: string }} props empty if there is none yet */
function SavedAs({ name }) {
  return html`<p role="status">${name && t('settings.copy_saved', { name })}</p>`;
}

/** Make the copy on the phone, without the server. */
export function PhoneCopy() {
  const [busy, setBusy] = useState(false);
  const [missing, setMissing] = useState(0);
  const [saved, setSaved] = useState('');
  const copy = async () => {
    setBusy(true);
    try {
      const { writeArchive } = await import('../../archive/write_archive.js');
      const made = await writeArchive();
      setMissing(made.missingPhotos);
      download(made);
      setSaved(made.name);
      showToast(t('settings.phone_copy_made', { count: made.notes }));
    } catch {
      showToast(t('settings.phone_copy_failed'));
    }
    setBusy(false);
  };
  return html`<p class="soft">${t('settings.phone_copy_note')}</p>
    <div class="buttons">
      <button type="button" class="button" disabled=${busy} onClick=${copy}>
        ${t(busy ? 'settings.phone_copy_busy' : 'settings.phone_copy')}
      </button>
    </div>
    <${SavedAs} name=${saved} />
    ${missing > 0 && html`<p class="warm" role="status">${t('settings.phone_copy_missing', { count: missing })}</p>`}`;
}
