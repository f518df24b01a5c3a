// Sign-in with a passkey, under the form for name and passphrase.
import { html, useState } from '../../lib/ui.js';
import { canUsePasskeys, signInWithPasskey } from '../../account/passkeys.js';
import { t } from '../../i18n.js';
import { accountErrorText } from './account_error_text.js';

/** @param {{ device: string, onIn: (where: 'here' | 'beside') => void }} props */
export function PasskeySignIn({ device, onIn }) {
  const [error, setError] = useState('');
  const [busy, setBusy] = useState(false);
  if (!canUsePasskeys()) return html`<p class="soft small">${t('settings.passkeys_unavailable')}</p>`;
  const send = async () => {
    setBusy(true);
    setError('');
    await signInWithPasskey(device)
      .then(onIn, (cause) => {
        setError(accountErrorText(cause));
      })
      .finally(() => setBusy(false));
  };
  return html`<div class="buttons">
    <button type="button" class="button plain" disabled=${busy} onClick=${send}>
      ${t('settings.passkey_sign_in')}
    </button>
    </div>
    ${error && html`<p class="warm" role="status">${error}</p>`}`;
}
