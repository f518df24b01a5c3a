// Account settings: owner, sign-in, and other owners' notebooks on this phone.
import { html, signal, useEffect, useState } from '../../lib/ui.js';
import { afterSignIn, me, signOut } from '../../account/api.js';
import { listParkedDatabases } from '../../account/phone_databases.js';
import { otherDatabaseOf } from '../../store/other_databases.js';
import { authIssue, localOwner, UNNAMED } from '../../store/owner.js';
import { syncStatus } from '../../sync/status.js';
import { hasMessage, t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { useLazy } from '../shell/lazy.js';
import { unsentText } from '../shell/page.js';
import { Devices } from './devices.js';
import { Erase } from './erase.js';
import { StatusRow } from './storage_status.js';
import { PairingOffer } from './pairing_offer.js';
import { Passphrase } from './passphrase.js';
import { SignIn } from './sign_in.js';
import { accountErrorText } from './account_error_text.js';

/** @typedef {import('../../store/owner.js').Owner} Owner */
/** @typedef {import('../../store/persistence.js').Unsent} Unsent */
/**
 * @typedef {{ state: 'in', owner: Owner, device: string | null } | { state: 'out' | 'offline', why: string }}
 *   AccountStatus
 */

const PASSKEYS = () => import('./passkeys.js').then((found) => found.Passkeys);

/** What the account section knows, for the erasure at the end of the page. */
const known = signal({
  status: /** @type {AccountStatus | null} */ (null),
  here: /** @type {Owner | null} */ (null),
  apart: /** @type {Owner | null} */ (null),
});

/** @param {{ status: AccountStatus, here: Owner | null, apart: Owner | null }} account */
function ownIn({ status, here, apart }) {
  return status.state === 'in' && (here ? status.owner.uid === here.uid : !apart);
}

/** Read whose notebook is open; apart: who is signed in, if they have another one here which it is to be joined to. */
async function readAccount() {
  const status = await fetchStatus();
  const here = await localOwner();
  const owner = status.state === 'in' ? status.owner : null;
  const isElses = here && here.uid !== owner?.uid;
  const apart = owner && !isElses && (await otherDatabaseOf(owner.uid)) ? owner : null;
  return { status, here, apart };
}

export function Account() {
  const { status, here, apart } = known.value;
  const reload = async () => {
    known.value = await readAccount();
  };
  // Each change of it lets the lists of devices and of passkeys ask again.
  const [revision, setRevision] = useState(0);
  const renew = () => setRevision((/** @type {number} */ before) => before + 1);
  const changed = () => {
    renew();
    reload();
  };
  const { other, ended } = authIssue.value;
  const { phase } = syncStatus.value;
  const isAsked = ['signin', 'apart'].includes(phase);
  // Sync notices first that the connection is back.
  const tried = status?.state === 'offline' && phase;
  useEffect(() => {
    reload();
  }, [other?.uid, ended, isAsked, tried]);
  if (!status) return null;
  const isOwn = status.state === 'in' && ownIn({ status, here, apart });
  const isSignedIn = isOwn && status.device !== null;
  const isNamed = here?.name && here.name !== UNNAMED;
  return html`<section class="settings-part" aria-labelledby="settings-account">
    <h2 id="settings-account">${t('settings.account')}</h2>
    ${isNamed && !isSignedIn && html`<p>${t('settings.account_of', { name: here.name })}</p>`}
    <p class=${ended ? 'warm' : 'soft'} role="status">${apart ? apartText(apart) : statusText(status, here, ended)}</p>
    ${isSignedIn && html`<${SignedIn} onOut=${reload} revision=${revision} onChange=${renew} />`}
    ${
      isOwn &&
      html`<${PairingOffer} owner=${status.owner.uid} onPaired=${renew} />
      <${Passphrase} name=${status.owner.name} isSet=${status.device !== null} onSet=${changed} />`
    }
    ${
      status.state === 'in' &&
      (apart || !isOwn) &&
      html`<${Other} owner=${status.owner} isApart=${Boolean(apart)} onOpen=${reload} />`
    }
    ${!isOwn && !apart && status.state !== 'offline' && html`<${SignIn} name=${here?.name ?? ''} onIn=${reload} />`}
    <${ParkedDatabases} without=${apart?.uid} />
  </section>`;
}

/** Offer to erase the notebook, at the end of the page, far from what is tapped every day. */
export function EraseSection() {
  const { status, here, apart } = known.value;
  if (!here || !status || status.state === 'offline') return null;
  const isOwn = ownIn({ status, here, apart });
  return html`<section class="settings-part" aria-labelledby="settings-erase">
    <h2 id="settings-erase">${t('settings.erase_title')}</h2>
    <${Erase} key=${String(isOwn)} everywhere=${isOwn} name=${here.name}
      isSet=${status.state === 'in' && status.device !== null} />
  </section>`;
}

/** @returns {Promise<AccountStatus>} */
async function fetchStatus() {
  try {
    return { state: 'in', ...(await me()) };
  } catch (error) {
    accountErrorText(error);
    const { code } = /** @type {import('../../account/api.js').AccountError} */ (error);
    return { state: code === 'no_network' ? 'offline' : 'out', why: code };
  }
}

/**
 * @param {AccountStatus} status
 * @param {Owner | null} here
 * @param {string} ended the server's reason for the end of the sign-in; may be empty
 */
function statusText(status, here, ended) {
  if (status.state !== 'in') {
    if (status.state === 'offline') return t('settings.account_offline');
    const reason = [ended, status.why].find((code) => code && hasMessage(`settings.account_${code}`));
    return t(`settings.account_${reason ?? 'nobody'}`);
  }
  const { name, uid } = status.owner;
  if (here && here.uid !== uid) return t('settings.account_other', { name });
  if (!status.device) return t('settings.account_home');
  return name === UNNAMED ? t('settings.account_in_unnamed') : t('settings.account_in', { name });
}

/** @param {Owner} owner with two notebooks here */
function apartText({ name }) {
  return name === UNNAMED ? t('settings.account_apart_unnamed') : t('settings.account_apart', { name });
}

/** @param {{ onOut: () => void, revision: number, onChange: () => void }} props */
function SignedIn({ onOut, revision, onChange }) {
  const Passkeys = useLazy(PASSKEYS);
  const leave = async () => {
    await signOut().then(
      () => showToast(t('settings.account_out')),
      (error) => showToast(accountErrorText(error)),
    );
    onOut();
  };
  return html`<div class="buttons">
  <button type="button" class="button" onClick=${leave}>${t('settings.sign_out')}
  </button>
  </div>
    <${Devices} revision=${revision} onRevoked=${onChange} />
    ${Passkeys && html`<${Passkeys} revision=${revision} />`}`;
}

/**
 * @param {{ owner: Owner, isApart: boolean, onOpen: () => void }} props shown if the notebook of whoever is signed in
 *   is not open, or not all of it
 */
function Other({ owner, isApart, onOpen }) {
  const [errorText, setErrorText] = useState('');
  const open = () =>
    afterSignIn(owner).then(
      (where) => (where === 'beside' ? location.reload() : onOpen()),
      (error) => setErrorText(accountErrorText(error)),
    );
  const text = isApart ? t('settings.account_join') : t('settings.account_other_open', { name: owner.name });
  return html`<div class="buttons">
  <button type="button" class="button" onClick=${open}>${text}
  </button>
  </div>
  ${errorText && html`<p class="warm" role="status">${errorText}</p>`}`;
}

/** @param {{ without?: string }} props an owner whose notebook is not of somebody else */
function ParkedDatabases({ without }) {
  const [books, setBooks] = useState(/** @type {{ owner: Owner, unsent: Unsent }[]} */ ([]));
  const isSyncing = syncStatus.value.phase === 'syncing';
  // Another tab may have one of them open, and send it.
  useEffect(() => {
    if (!isSyncing) listParkedDatabases().then(setBooks);
  }, [isSyncing]);
  const others = books.filter(({ owner }) => owner.uid !== without);
  if (!others.length) return null;
  return html`<h3>${t('settings.account_aside')}</h3>
    <dl class="status-list">${others.map(
      ({ owner, unsent }) => html`<${StatusRow} key=${owner.uid}
      name=${asideName(owner)} figure=${asideText(unsent)} />`,
    )}</dl>
    <p class="soft small">${t('settings.account_aside_note')}</p>`;
}

/** @param {Owner} owner */
function asideName({ name }) {
  const isNamed = name && name !== UNNAMED;
  return isNamed ? t('settings.account_aside_book', { name }) : t('settings.account_aside_unnamed');
}

/** @param {Unsent} unsent */
function asideText(unsent) {
  if (unsent.notes + unsent.changes === 0) return t('settings.account_aside_none');
  return t('settings.account_aside_unsent', { what: unsentText(unsent) });
}
