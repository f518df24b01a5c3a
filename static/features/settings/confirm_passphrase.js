// Asks for the passphrase again before protected actions.
import { html, useState } from '../../lib/ui.js';
import { AccountError, confirmPassphrase } from '../../account/api.js';
import { t } from '../../i18n.js';
import { PasswordField } from './password_field.js';
import { accountErrorText } from './account_error_text.js';

/** @typedef {{ resolve: () => void, reject: (error: AccountError) => void }} Waiting */

/**
 * @returns {{ run: <T>(act: () => Promise<T>) => Promise<T>, form: unknown }} `run` runs an action;
 *   if the server asks for confirmation, `form` asks for the passphrase, and the action is repeated
 *   or fails with the code `stopped`
 */
export function useConfirmation() {
  const [waiting, setWaiting] = useState(/** @type {Waiting | null} */ (null));
  const run = async (/** @type {() => Promise<any>} */ act) => {
    try {
      return await act();
    } catch (error) {
      if (!(error instanceof AccountError) || error.code !== 'confirm') throw error;
    }
    await new Promise((/** @type {(value?: any) => void} */ resolve, reject) => {
      // A second request cancels the first.
      setWaiting((/** @type {Waiting | null} */ before) => {
        before?.reject(new AccountError('stopped'));
        return { resolve, reject };
      });
    }).finally(() => setWaiting(null));
    return act();
  };
  return { run, form: waiting && html`<${ConfirmForm} waiting=${waiting} />` };
}

/** @param {{ waiting: Waiting }} props */
function ConfirmForm({ waiting }) {
  const [passphrase, setPassphrase] = useState('');
  const [errorText, setErrorText] = useState('');
  const [busy, setBusy] = useState(false);
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    setBusy(true);
    await confirmPassphrase(passphrase).then(waiting.resolve, (error) => {
      setErrorText(error.code === 'wrong' ? t('settings.passphrase_wrong') : accountErrorText(error));
      setBusy(false);
    });
  };
  const stop = () => waiting.reject(new AccountError('stopped'));
  return html`<form class="confirm" onSubmit=${send} aria-label=${t('settings.confirm')}>
    <p class="soft small" role="status">${t('settings.confirm_note')}</p>
    <${PasswordField} label=${t('settings.passphrase_yours')} value=${passphrase} onChange=${setPassphrase}
      autocomplete="current-password" error=${errorText || null} />
    <div class="buttons">
      <button type="submit" class="button" disabled=${busy || !passphrase}>${t('settings.confirm')}</button>
      <button type="button" class="button plain" onClick=${stop}>${t('settings.confirm_stop')}</button>
    </div>
  </form>`;
}
