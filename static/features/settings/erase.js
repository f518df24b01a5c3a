// Erases the notebook after an export, the passphrase and a typed word.
import { html, useState } from '../../lib/ui.js';
import { eraseEverywhere, eraseHere } from '../../account/erase.js';
import { TextField } from '../../components/form/field.js';
import { t } from '../../i18n.js';
import { Export } from './export.js';
import { PasswordField } from './password_field.js';
import { accountErrorText } from './account_error_text.js';

/**
 * @param {{ everywhere: boolean, name: string, isSet: boolean }} props everywhere: on the server
 *   too; isSet: whether there is a passphrase
 */
export function Erase({ everywhere, name, isSet }) {
  const [passphrase, setPassphrase] = useState('');
  const [typedWord, setTypedWord] = useState('');
  const [errorText, setErrorText] = useState('');
  const [busy, setBusy] = useState(false);
  const requiredWord = t('settings.erase_word');
  const asks = everywhere && isSet;
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    setBusy(true);
    await (everywhere ? eraseEverywhere(passphrase) : eraseHere()).then(
      () => openAnother(everywhere),
      (error) => {
        setErrorText(error.code === 'wrong' ? t('settings.passphrase_wrong') : accountErrorText(error));
        setBusy(false);
      },
    );
  };
  const write = (/** @type {string | null} */ typed) => {
    setTypedWord(typed ?? '');
  };
  const isReady = !busy && typedWord.trim().toLocaleLowerCase() === requiredWord && (!asks || passphrase !== '');
  return html`<details><summary>${t(everywhere ? 'settings.erase' : 'settings.erase_here')}</summary>
    <p class="soft">${t(everywhere ? 'settings.erase_note' : 'settings.erase_here_note')}</p>
    ${everywhere && html`<p class="soft">${t('settings.erase_copy')}</p><${Export} />`}
    <form onSubmit=${send}>
      <input type="text" autocomplete="username" value=${name} readonly hidden />
      ${
        asks &&
        html`<${PasswordField} label=${t('settings.passphrase_yours')} value=${passphrase} onChange=${setPassphrase}
        autocomplete="current-password" error=${null} />`
      }
      <${TextField} label=${t('settings.erase_type', { word: requiredWord })} value=${typedWord} onChange=${write}
        autocapitalize="none" error=${errorText || null} />
      <div class="buttons">
        <button type="submit" class="button warm" disabled=${!isReady}>${t('settings.erase_do')}</button>
      </div>
    </form>
  </details>`;
}

/** Reload the page with an empty notebook, or with that of whoever is signed in. @param {boolean} everywhere */
function openAnother(everywhere) {
  location.hash = everywhere ? '#/settings/erased' : '#/settings/erased_here';
  location.reload();
}
