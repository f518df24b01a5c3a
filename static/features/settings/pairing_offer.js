// Pairing on a signed-in device: show a QR code, compare the number, approve.
import { html, useEffect, useMemo, useState } from '../../lib/ui.js';
import { approvePairing, devices, getPairing, offerPairing, cancelPairing } from '../../account/api.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { useConfirmation } from './confirm_passphrase.js';
import { deviceText } from './device_name.js';
import { accountErrorText } from './account_error_text.js';
import { openOffer } from './open_offer.js';

/** @typedef {import('../../account/api.js').Pairing} Pairing */
/** @typedef {import('./open_offer.js').OpenOffer} OpenOffer */

const POLL_INTERVAL_MS = 2_000;

/** @param {{ owner: string, onPaired: () => void }} props owner: who is signed in; onPaired: a phone has come in */
export function PairingOffer({ owner, onPaired }) {
  // Somebody else may have signed in since it was made.
  const offer = openOffer.value?.owner === owner ? openOffer.value : null;
  const [errorText, setErrorText] = useState('');
  const [reachable, setReachable] = useState(true);
  const { run, form } = useConfirmation();
  const create = () =>
    run(offerPairing).then(
      (made) => {
        // A code that no phone could follow is not shown, and ends at once.
        setErrorText('');
        setReachable(made.reachable);
        if (!made.reachable) return cancelPairing(made.id).catch(() => undefined);
        openOffer.value = { ...made, owner };
        return undefined;
      },
      (error) => {
        setErrorText(accountErrorText(error));
      },
    );
  const end = (/** @type {string} */ reason) => {
    openOffer.value = null;
    setErrorText(reason);
  };
  return html`<h3>${t('settings.pair')}</h3>
    ${errorText && html`<p class="warm" role="status">${errorText}</p>`}
    ${form}
    ${
      !reachable
        ? html`<p class="soft" role="status">${t('settings.pair_unreachable')}</p>`
        : offer
          ? html`<${OfferCode} key=${offer.id} offer=${offer} run=${run} onEnd=${end} onPaired=${onPaired} />`
          : !form &&
            html`<div class="buttons">
          <button type="button" class="button"
            onClick=${create}>${t(errorText ? 'settings.pair_again' : 'settings.pair')}
          </button>
          </div>`
    }`;
}

/**
 * @param {{ offer: OpenOffer, run: (act: () => Promise<void>) => Promise<void>, onEnd: (why: string) => void,
 *   onPaired: () => void }} props
 */
function OfferCode({ offer, run, onEnd, onPaired }) {
  const [pairing, setPairing] = useState(/** @type {Pairing | null} */ (null));
  useEffect(() => {
    // The server drops an offer once its phone is signed in, and also when its time is over.
    const finish = async (/** @type {import('../../account/api.js').AccountError} */ error) => {
      const before = openOffer.peek()?.before;
      const joined = before && (await findNew(before));
      if (joined) {
        showToast(t('settings.pair_done', { name: deviceText(joined.name) }));
        onPaired();
      }
      onEnd(joined ? '' : accountErrorText(error));
    };
    const poll = () =>
      getPairing(offer.id)
        .then(setPairing, (error) => (error.code === 'no_network' ? undefined : finish(error)))
        .catch(() => undefined);
    // At once too, because an offer that a reload brought back may be over.
    void poll();
    const timer = setInterval(poll, POLL_INTERVAL_MS);
    return () => clearInterval(timer);
  }, [offer.id]);
  const stop = () => cancelPairing(offer.id).finally(() => onEnd(''));
  const agree = (/** @type {string} */ code) =>
    run(async () => {
      openOffer.value = { ...offer, before: (await devices()).map(({ id }) => id) };
      await approvePairing(offer.id, code);
      setPairing((/** @type {Pairing | null} */ known) => known && { ...known, state: 'allowed' });
    }).catch((error) => onEnd(accountErrorText(error)));
  const name = deviceText(pairing?.name);
  if (pairing?.state === 'allowed') return html`<${Coming} name=${name} onStop=${stop} />`;
  if (pairing?.code) return html`<${Compare} code=${pairing.code} name=${name} onAgree=${agree} onStop=${stop} />`;
  return html`<${Code} svg=${offer.svg} />
    <div class="buttons"><button type="button" class="button plain" onClick=${stop}>${t('settings.pair_stop')}</button>
    </div>`;
}

/** @param {{ svg: string }} props */
function Code({ svg }) {
  // As an image with an object URL, because the page's policy forbids inserting markup.
  const image = useMemo(() => URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' })), [svg]);
  useEffect(() => () => URL.revokeObjectURL(image), [image]);
  return html`<p class="soft">${t('settings.pair_note')}</p>
    <img class="pair-code" src=${image} alt=${t('settings.pair_image')} />`;
}

/** @param {string[]} before ids @returns {Promise<import('../../account/api.js').Device | undefined>} */
async function findNew(before) {
  return (await devices()).find(({ id }) => !before.includes(id));
}

/** @param {{ name: string, onStop: () => void }} props allowed on this device, and not signed in yet */
function Coming({ name, onStop }) {
  return html`<p role="status">${t('settings.pair_coming', { name })}</p>
    <div class="buttons">
      <button type="button" class="button plain" onClick=${onStop}>${t('settings.pair_stop')}</button>
    </div>`;
}

/** @param {{ code: string, name: string, onAgree: (code: string) => void, onStop: () => void }} props */
function Compare({ code, name, onAgree, onStop }) {
  return html`<div role="status"><p>${t('settings.pair_waits', { name })}</p><p>${t('settings.pair_code', { code })}</p>
  </div>
    <div class="buttons">
      <button type="button" class="button" onClick=${() => onAgree(code)}>${t('settings.pair_agree')}</button>
      <button type="button" class="button plain" onClick=${onStop}>${t('settings.pair_stop')}</button>
    </div>`;
}
