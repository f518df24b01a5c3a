// Pairing on the new device: it has scanned the code, shows a number, and waits for approval.
import { html, useEffect, useState } from '../../lib/ui.js';
import { claimPairing, finishPairing } from '../../account/api.js';
import { TextField } from '../../components/form/field.js';
import { showToast } from '../../components/layout/toast.js';
import { navigate } from '../../router.js';
import { t } from '../../i18n.js';
import { guessDeviceName } from './device_name.js';
import { accountErrorText } from './account_error_text.js';

const ASK_EVERY_MS = 2_000;

/** @param {{ secret: string }} props from the QR code */
export function PairingJoin({ secret }) {
  const [claimed, setClaimed] = useState(/** @type {{ code: string, claim: string } | null} */ (null));
  const [device, setDevice] = useState(guessDeviceName());
  const [errorText, setErrorText] = useState('');
  // The secret is valid once; remove it from the history.
  useEffect(() => {
    history.replaceState(null, '', '#/settings');
  }, []);
  useEffect(() => {
    if (!claimed) return undefined;
    const timer = setInterval(
      () =>
        finish(claimed.claim, (reason) => {
          clearInterval(timer);
          setErrorText(reason);
        }),
      ASK_EVERY_MS,
    );
    return () => clearInterval(timer);
  }, [claimed]);
  const claim = () =>
    claimPairing(secret, device).then(setClaimed, (error) => {
      setErrorText(accountErrorText(error));
    });
  return html`<section class="settings-part" aria-labelledby="settings-join">
    <h2 id="settings-join">${t('settings.join')}</h2>
    ${errorText && html`<p class="warm" role="status">${errorText}</p>`}
    ${
      claimed
        ? html`<p class="soft">${t('settings.join_code')}
        </p>
        <p class="pair-number figure" role="status">${claimed.code}
        </p>`
        : html`<p class="soft">${t('settings.join_note')}</p>
        <${TextField} label=${t('settings.device_name')} value=${device}
            onChange=${(/** @type {string | null} */ value) => setDevice(value ?? '')} maxLength=${40} />
        <div class="buttons"><button type="button" class="button" onClick=${claim}>${t('settings.join_ask')}</button>
        </div>`
    }
  </section>`;
}

/** @param {string} claim @param {(why: string) => void} onEnd */
async function finish(claim, onEnd) {
  try {
    const where = await finishPairing(claim);
    if (where === 'waiting') return;
    onEnd('');
    if (where === 'beside') {
      location.reload();
      return;
    }
    showToast(t('settings.join_in'));
    navigate('/settings', { replace: true });
  } catch (error) {
    // If the phone was offline for a moment, it asks again.
    const reason = accountErrorText(error);
    if (/** @type {any} */ (error).code !== 'no_network') onEnd(reason);
  }
}
