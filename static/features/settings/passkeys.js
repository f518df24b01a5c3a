// The passkeys of the owner: add one on this device, rename it, remove it.
import { html, useEffect, useState } from '../../lib/ui.js';
import { addPasskey, canUsePasskeys, listPasskeys, removePasskey, renamePasskey } from '../../account/passkeys.js';
import { TextField } from '../../components/form/field.js';
import { showToast } from '../../components/layout/toast.js';
import { date } from '../../lib/format.js';
import { t } from '../../i18n.js';
import { useConfirmation } from './confirm_passphrase.js';
import { guessDeviceName } from './device_name.js';
import { accountErrorText } from './account_error_text.js';

/** @typedef {import('../../account/passkeys.js').Passkey} Passkey */

/** @param {{ revision: number }} props revision: another number when the server may have removed some */
export function Passkeys({ revision }) {
  const [found, setFound] = useState(/** @type {Passkey[]} */ ([]));
  const [busy, setBusy] = useState(false);
  const { run, form } = useConfirmation();
  const load = () =>
    listPasskeys().then(setFound, (error) => {
      showToast(accountErrorText(error));
    });
  useEffect(() => {
    load();
  }, [revision]);
  const act = async (/** @type {() => Promise<unknown>} */ change, /** @type {string} */ done) => {
    setBusy(true);
    await run(change).then(
      () => showToast(t(done)),
      (error) => showToast(accountErrorText(error)),
    );
    setBusy(false);
    await load();
  };
  const add = () => act(() => addPasskey(guessDeviceName()), 'settings.passkey_added');
  return html`<h3>${t('settings.passkeys')}</h3>
    <p class="soft">${t('settings.passkeys_note')}</p>
    ${form}
    <ul class="ruled passkeys" aria-label=${t('settings.passkeys')}>
      ${found.map((passkey) => html`<${Entry} key=${passkey.id} passkey=${passkey} act=${act} />`)}
    </ul>
    ${found.length > 0 && html`<p class="soft small">${t('settings.passkeys_end')}</p>`}
    ${
      canUsePasskeys()
        ? html`<div class="buttons">
        <button type="button" class="button" disabled=${busy} onClick=${add}>${t('settings.passkey_add')}</button>
        </div>`
        : html`<p class="soft small">${t('settings.passkeys_unavailable')}</p>`
    }`;
}

/** @param {{ passkey: Passkey, act: (change: () => Promise<unknown>, done: string) => Promise<void> }} props */
function Entry({ passkey, act }) {
  const [isNaming, setNaming] = useState(false);
  const { id, host, made_at, last_used } = passkey;
  const name = passkey.name || t('settings.passkey_nameless');
  const rename = async (/** @type {string} */ wanted) => {
    await act(() => renamePasskey(id, wanted), 'settings.passkey_renamed');
    setNaming(false);
  };
  const remove = () => act(() => removePasskey(id), 'settings.passkey_removed');
  return html`<li>
    <span class="name">${name}</span>
    <p class="soft small">${t('settings.passkey_made', { date: date(made_at) })}</p>
    <p class="soft small">
      ${last_used ? t('settings.passkey_used', { date: date(last_used) }) : t('settings.passkey_unused')}
    </p>
    ${host !== location.hostname && html`<p class="soft small">${t('settings.passkey_host', { host })}</p>`}
    ${
      isNaming
        ? html`<${NameForm} name=${passkey.name} onName=${rename} onStop=${() => setNaming(false)} />`
        : html`<div class="buttons">
        <button type="button" class="button plain" aria-label=${`${t('settings.passkey_rename')}: ${name}`}
          onClick=${() => setNaming(true)}>${t('settings.passkey_rename')}</button>
        <button type="button" class="button plain" aria-label=${`${t('settings.passkey_remove')}: ${name}`}
          onClick=${remove}>${t('settings.passkey_remove')}</button>
        </div>`
    }
  </li>`;
}

/** @param {{ name: string, onName: (name: string) => void, onStop: () => void }} props */
function NameForm({ name, onName, onStop }) {
  const [wanted, setWanted] = useState(name);
  const send = (/** @type {Event} */ event) => {
    event.preventDefault();
    onName(wanted);
  };
  return html`<form onSubmit=${send}>
    <${TextField} label=${t('settings.passkey_name')} value=${wanted} maxLength=${40}
      onChange=${(/** @type {string | null} */ value) => setWanted(value ?? '')} />
    <div class="buttons">
      <button type="submit" class="button" disabled=${!wanted}>${t('settings.passkey_name_set')}</button>
      <button type="button" class="button plain" onClick=${onStop}>${t('settings.confirm_stop')}</button>
    </div>
  </form>`;
}
