// Offers installation once, after the second note. The settings have the button too.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { install, installOption } from '../../pwa/install_prompt.js';
import { localState } from '../../store/local_state.js';
import { openPour } from '../../store/open_pour.js';
import { liveSignal, latestTastings } from '../../store/queries.js';

const ENOUGH_NOTES = 2;
/** Number of newest tastings to look at, because the newest may be from the example. */
const LOOK_AT = 200;

const answered = localState('install', /** @returns {kept is true} */ (kept) => kept === true);

/** Show the banner only if the app can be installed. */
export function InstallBanner() {
  return !answered.value && html`<${Offer} way=${installOption.value} />`;
}

/**
 * Show the offer. A component of its own, so that notes are counted only until the user has
 * answered.
 * @param {{ way: typeof installOption.value }} props
 */
function Offer({ way }) {
  const own = useMemo(() => liveSignal(ownTastings, []), []).value;
  // The unfinished pour does not count.
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
