// Sets a new passphrase. On the server's own machine it sets the first one, which is needed to
// serve a network.
import { html, useState } from '../../lib/ui.js';
import { AccountError, changePassphrase } from '../../account/api.js';
import { showToast } from '../../components/layout/toast.js';
import { t } from '../../i18n.js';
import { guessDeviceName } from './device_name.js';
import { PasswordField } from './password_field.js';
import { accountErrorText } from './account_error_text.js';

/**
 * @param {{ name: string, isSet: boolean, onSet: () => void }} props isSet: there is a passphrase,
 *   which must be entered first
 */
export function Passphrase({ name, isSet, onSet }) {
  const [current, setCurrent] = useState('');
  const [newPassphrase, setNewPassphrase] = useState('');
  const [errorText, setErrorText] = useState('');
  const [wrong, setWrong] = useState(false);
  const [busy, setBusy] = useState(false);
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    setBusy(true);
    setWrong(false);
    await changePassphrase(current, newPassphrase, guessDeviceName())
      .then(
        () => {
          showToast(t('settings.passphrase_changed'));
          for (const set of [setCurrent, setNewPassphrase, setErrorText]) set('');
          onSet();
        },
        (error) => {
          const isWrong = error instanceof AccountError && error.code === 'wrong';
          setWrong(isWrong);
          setErrorText(isWrong ? '' : accountErrorText(error));
        },
      )
      .finally(() => setBusy(false));
  };
  return html`<h3>${t('settings.passphrase')}</h3>
  <details><summary>${t(isSet ? 'settings.passphrase_change' : 'settings.passphrase_first')}</summary>
    <form onSubmit=${send}>
      <input type="text" autocomplete="username" value=${name} readonly hidden />
      <p class="soft small">${t('settings.passphrase_note')}</p>
      ${
        isSet &&
        html`<${PasswordField} label=${t('settings.passphrase_current')} value=${current}
          onChange=${setCurrent} autocomplete="current-password"
          error=${wrong ? t('settings.passphrase_wrong') : null} />`
      }
      <${PasswordField} label=${t('settings.passphrase_new')} value=${newPassphrase} onChange=${setNewPassphrase}
          autocomplete="new-password" error=${errorText || null} />
      <div class="buttons">
      <button type="submit" class="button" disabled=${busy || !newPassphrase || (isSet && !current)}>
        ${t('settings.passphrase_set')}
      </button>
      </div>
    </form>
  </details>`;
}
