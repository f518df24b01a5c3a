// Offers installation once, after the second note. The settings have the button too.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { install, installOption } from '../../pwa/install_prompt.js';
import { localState } from '../../store/local_state.js';
import { openPour } from '../../store/open_pour.js';
import { liveSignal, latestTastings } from '../../store/queries.js';

const ENOUGH_NOTES = 2;
/** Number of newest tastings to look at, because the newest may be from the example. */
const MAX_TASTINGS = 200;

const answered = localState('install', /** @returns {value is true} */ (value) => value === true);

/** Show the banner only if the app can be installed. */
export function InstallBanner() {
  return !answered.value && html`<${Banner} option=${installOption.value} />`;
}

/**
 * Show the offer. A component of its own, so that notes are counted only until the user has
 * answered.
 * @param {{ option: typeof installOption.value }} props
 */
function Banner({ option }) {
  const own = useMemo(() => liveSignal(ownTastings, []), []).value;
  // The unfinished pour does not count.
  const isDue = own.filter((id) => id !== openPour.value?.tasting).length >= ENOUGH_NOTES;
  return (
    isDue &&
    html`<div class="notice" role="status"><span>${t(`install.${option}`)}</span>
    ${option === 'ask' && html`<button type="button" class="button" onClick=${install}>${t('install.put')}</button>`}
    <button type="button" class="button plain" onClick=${() => answered.set(true)}>
      ${t(option === 'ask' ? 'install.not_now' : 'install.have_read')}
    </button>
    </div>`
  );
}

/** @returns {Promise<string[]>} */
async function ownTastings() {
  return (await latestTastings(MAX_TASTINGS)).filter((row) => row.fields['example'] !== true).map((row) => row.id);
}
