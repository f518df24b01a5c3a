// After the second note, and once: whether the book may stand on the home screen. The settings have it for later.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { install, installOption } from '../../pwa/install_prompt.js';
import { localState } from '../../store/local_state.js';
import { openPour } from '../../store/open_pour.js';
import { liveSignal, latestTastings } from '../../store/queries.js';

const ENOUGH_NOTES = 2;
/** The example's tastings may be the newest ones. */
const LOOK_AT = 200;

const answered = localState('install', /** @returns {kept is true} */ (kept) => kept === true);

/** Shown only where the book can be put there. */
export function InstallBanner() {
  return !answered.value && html`<${Offer} way=${installOption.value} />`;
}

/** Apart, so that nobody counts notes once there is an answer. @param {{ way: typeof installOption.value }} props */
function Offer({ way }) {
  const own = useMemo(() => liveSignal(ownTastings, []), []).value;
  // Without the one that is being written.
  const wanted = own.filter((id) => id !== openPour.value?.tasting).length >= ENOUGH_NOTES;
  return (
    wanted &&
    html`<div class="notice" role="status"><span>${t(`install.${way}`)}</span>
    ${way === 'ask' && html`<button type="button" class="button" onClick=${install}>${t('install.put')}</button>`}
    <button type="button" class="button plain" onClick=${() => answered.set(true)}>
      ${t(way === 'ask' ? 'install.not_now' : 'install.have_read')}
    </button>
    </div>`
  );
}

/** @returns {Promise<string[]>} */
async function ownTastings() {
  return (await latestTastings(LOOK_AT)).filter((row) => row.fields['example'] !== true).map((row) => row.id);
}
