// Sign-in form, shown only on demand.
import { html, useState } from '../../lib/ui.js';
import { signIn } from '../../account/api.js';
import { TextField } from '../../components/form/field.js';
import { t } from '../../i18n.js';
import { useLazy } from '../shell/lazy.js';
import { guessDeviceName } from './device_name.js';
import { PasswordField } from './password_field.js';
import { accountErrorText } from './account_error_text.js';

const PASSKEY_SIGN_IN = () => import('./passkey_sign_in.js').then((found) => found.PasskeySignIn);

/** @param {{ name: string, onIn: () => void }} props */
export function SignIn({ name: known, onIn }) {
  const [name, setName] = useState(known);
  const [passphrase, setPassphrase] = useState('');
  const [device, setDevice] = useState(guessDeviceName());
  const [errorText, setErrorText] = useState('');
  const [busy, setBusy] = useState(false);
  const Passkey = useLazy(PASSKEY_SIGN_IN);
  const enter = (/** @type {'here' | 'beside'} */ where) => {
    if (where === 'beside') location.reload();
    else onIn();
  };
  const send = async (/** @type {Event} */ event) => {
    event.preventDefault();
    setBusy(true);
    await signIn(name, passphrase, device)
      .then(enter, (error) => {
        setErrorText(accountErrorText(error));
      })
      .finally(() => setBusy(false));
  };
  const clearingError = (/** @type {(value: string) => void} */ set) => (/** @type {string | null} */ value) => {
    set(value ?? '');
  };
  return html`<form onSubmit=${send}>
    <${TextField} label=${t('settings.sign_in_name')} value=${name} onChange=${clearingError(setName)}
      autocomplete="username"
        autocapitalize="none" />
    <${PasswordField} label=${t('settings.passphrase')} value=${passphrase} onChange=${setPassphrase}
        autocomplete="current-password" error=${errorText || null} />
    <${TextField} label=${t('settings.device_name')} value=${device} onChange=${clearingError(setDevice)}
      maxLength=${40} />
    <div class="buttons">
    <button type="submit" class="button" disabled=${busy || !name || !passphrase}>${t('settings.sign_in')}
    </button>
    </div>
  </form>
  ${Passkey && html`<${Passkey} device=${device} onIn=${enter} />`}`;
}
