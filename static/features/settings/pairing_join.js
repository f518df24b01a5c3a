// Pairing on the new device: it has scanned the code, shows a number, and waits for approval.
import { html, useEffect, useState } from '../../lib/ui.js';
import { claimPairing, finishPairing, leavePairing } from '../../account/api.js';
import { TextField } from '../../components/form/field.js';
import { showToast } from '../../components/layout/toast.js';
import { navigate } from '../../router.js';
import { localOwner, UNNAMED } from '../../store/owner.js';
import { t } from '../../i18n.js';
import { guessDeviceName } from './device_name.js';
import { pairingClaim } from './pairing_claim.js';
import { accountErrorText } from './account_error_text.js';

const ASK_EVERY_MS = 2_000;

/** @param {{ secret?: string }} props from the QR code; without it the phone has a claim already */
export function PairingJoin({ secret: scanned }) {
  const [secret, setSecret] = useState(scanned);
  const [errorText, setErrorText] = useState('');
  const claimed = pairingClaim.value;
  // The secret is valid once; remove it from the history. Links to the settings lead away from this address.
  useEffect(() => {
    if (scanned) {
      pairingClaim.value = null;
      setErrorText('');
      setSecret(scanned);
    }
    const isJoining = scanned || secret || claimed;
    navigate(isJoining ? '/settings/join' : '/settings', { replace: true });
  }, [scanned]);
  const end = (/** @type {string} */ reason) => {
    pairingClaim.value = null;
    setSecret(undefined);
    setErrorText(reason);
  };
  useEffect(() => {
    if (!claimed) return undefined;
    const timer = setInterval(
      () =>
        finish(claimed.claim, (reason) => {
          clearInterval(timer);
          end(reason);
        }),
      ASK_EVERY_MS,
    );
    return () => clearInterval(timer);
  }, [claimed?.claim]);
  const claim = (/** @type {string} */ device) =>
    claimPairing(String(secret), device).then(
      (made) => {
        setErrorText('');
        pairingClaim.value = made;
      },
      (error) => {
        const reason = accountErrorText(error);
        if (error.code === 'no_network') setErrorText(reason);
        else end(reason);
      },
    );
  return html`<section class="settings-part" aria-labelledby="settings-join">
    <h2 id="settings-join">${t('settings.join')}</h2>
    ${errorText && html`<p class="warm" role="status">${errorText}</p>`}
    ${
      claimed
        ? html`<${Waiting} ...${claimed} />`
        : secret
          ? html`<${Ask} onAsk=${claim} />`
          : html`<div class="buttons"><a class="button" href="#/settings">${t('settings.join_back')}</a></div>`
    }
  </section>`;
}

/** @param {{ onAsk: (device: string) => void }} props */
function Ask({ onAsk }) {
  const [device, setDevice] = useState(guessDeviceName());
  const [owner, setOwner] = useState('');
  useEffect(() => {
    localOwner().then((found) => setOwner(found?.name ?? ''));
  }, []);
  const isNamed = owner && owner !== UNNAMED;
  return html`<p class="soft">${t('settings.join_offer')} ${
    isNamed ? t('settings.join_note_of', { name: owner }) : t('settings.join_note')
  }</p>
    <${TextField} label=${t('settings.device_name')} value=${device}
        onChange=${(/** @type {string | null} */ value) => setDevice(value ?? '')} maxLength=${40} />
    <div class="buttons">
      <button type="button" class="button" onClick=${() => onAsk(device)}>${t('settings.join_ask')}</button>
    </div>`;
}

/** @param {import('./pairing_claim.js').Claim} props */
function Waiting({ code, claim }) {
  const stop = () => {
    leavePairing(claim).catch(() => undefined);
    pairingClaim.value = null;
    navigate('/settings');
  };
  return html`<p class="soft">${t('settings.join_code')}</p>
    <p class="pair-number figure" role="status">${code}</p>
    <div class="buttons"><button type="button" class="button plain" onClick=${stop}>${t('settings.pair_stop')}</button>
    </div>`;
}

/** @param {string} claim @param {(why: string) => void} onEnd */
async function finish(claim, onEnd) {
  try {
    const where = await finishPairing(claim);
    if (where === 'waiting') return;
    onEnd('');
    if (where === 'beside') {
      history.replaceState(null, '', '#/settings');
      location.reload();
      return;
    }
    showToast(t('settings.join_in'));
    // The answer may come after another page was opened.
    if (location.hash.startsWith('#/settings')) navigate('/settings', { replace: true });
  } catch (error) {
    // If the phone was offline for a moment, it asks again.
    const reason = accountErrorText(error);
    if (/** @type {any} */ (error).code !== 'no_network') onEnd(reason);
  }
}
