// Sign-in with a passkey, under the form for name and passphrase.
import { html, useState } from '../../lib/ui.js';
import { canUsePasskeys, signInWithPasskey } from '../../account/passkeys.js';
import { t } from '../../i18n.js';
import { accountErrorText } from './account_error_text.js';

/** @param {{ device: string, onIn: (where: 'here' | 'beside') => void }} props */
export function PasskeySignIn({ device, onIn }) {
  const [trouble, setTrouble] = useState('');
  const [busy, setBusy] = useState(false);
  if (!canUsePasskeys()) return html`<p class="soft small">${t('settings.passkeys_unavailable')}</p>`;
  const send = async () => {
    setBusy(true);
    setTrouble('');
    await signInWithPasskey(device)
      .then(onIn, (error) => {
        setTrouble(accountErrorText(error));
      })
      .finally(() => setBusy(false));
  };
  return html`<div class="buttons">
    <button type="button" class="button plain" disabled=${busy} onClick=${send}>
      ${t('settings.passkey_sign_in')}
    </button>
    </div>
    ${trouble && html`<p class="warm" role="status">${trouble}</p>`}`;
}
