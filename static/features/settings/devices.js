// List of signed-in devices, each with a button to sign it out.
import { html, useEffect, useState } from '../../lib/ui.js';
import { devices, revoke } from '../../account/api.js';
import { syncStatus } from '../../sync/status.js';
import { date, time } from '../../lib/format.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { useConfirmation } from './confirm_passphrase.js';
import { deviceText } from './device_name.js';
import { accountErrorText } from './account_error_text.js';

/** @typedef {import('../../account/api.js').Device} Device */

/** @param {{ revision: number, onRevoked: () => void }} props revision: another when the list may have changed */
export function Devices({ revision, onRevoked }) {
  const [found, setFound] = useState(/** @type {Device[]} */ ([]));
  useEffect(() => {
    devices().then(setFound, (error) => {
      showToast(accountErrorText(error));
    });
  }, [revision]);
  const { run, form } = useConfirmation();
  const revokeDevice = async (/** @type {string} */ id) => {
    await run(() => revoke(id)).then(
      () => showToast(t('settings.device_revoked')),
      (error) => showToast(accountErrorText(error)),
    );
    onRevoked();
  };
  return html`<h3>${t('settings.devices')}</h3>
    ${form}
    <ul class="ruled devices" aria-label=${t('settings.devices')}>
      ${found.map((device) => html`<${Entry} key=${device.id} device=${device} onRevoke=${revokeDevice} />`)}
    </ul>`;
}

/** @param {{ device: Device, onRevoke: (id: string) => void }} props */
function Entry({ device, onRevoke }) {
  const { id, made_at, current } = device;
  // This phone knows best, as the list may have been read before its first backup.
  const last_synced = (current && syncStatus.value.lastSynced) || device.last_synced;
  const name = deviceText(device.name);
  return html`<li>
    <span class="name">${name}</span>
    <p class="soft small">${t('settings.device_made', { date: date(made_at) })}</p>
    <p class="soft small">
      ${
        last_synced
          ? t('settings.device_synced', { date: date(last_synced), time: time(last_synced) })
          : t('settings.device_never')
      }
    </p>
    ${
      current
        ? html`<p class="small">${t('settings.device_this')}</p>`
        : html`<div class="buttons">
        <button type="button" class="button plain" aria-label=${`${t('settings.device_revoke')}: ${name}`}
            onClick=${() => onRevoke(id)}>
          ${t('settings.device_revoke')}
        </button>
        </div>`
    }
  </li>`;
}
