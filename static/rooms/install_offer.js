// After the second note, and once: whether the book may stand on the home screen. The settings have it for later.
import { html, useEffect, useMemo, useState } from '../ui.js';
import { loadWords, t } from '../words.js';
import { install, installWay } from '../book/install.js';
import { keptHere } from '../book/kept_here.js';
import { openPour } from '../book/open_pour.js';
import { live, tastingsNewest } from '../book/read.js';

const ENOUGH_NOTES = 2;
/** The example's tastings may be the newest ones; a third is looked at in vain at most once a start. */
const LOOK_AT = 200;

const answered = keptHere('install', /** @returns {kept is true} */ (kept) => kept === true);

export function InstallOffer() {
  const written = useMemo(() => live(countWritten, 0), []).value;
  const [ready, setReady] = useState(false);
  const way = installWay.value;
  const wanted = (way === 'ask' || way === 'by_hand') && !answered.now.value && written >= ENOUGH_NOTES;
  useEffect(() => { if (wanted) loadWords('install').then(() => setReady(true)); }, [wanted]);
  if (!wanted || !ready) return null;
  return html`<div class="notice" role="status"><span>${t(`install.${way}`)}</span>
    ${way === 'ask' && html`<button type="button" class="button" onClick=${install}>${t('install.put')}</button>`}
    <button type="button" class="button plain" onClick=${() => answered.keep(true)}>${t(way === 'ask' ? 'install.not_now' : 'install.have_read')}</button></div>`;
}

/** Own notes that are finished: not the example's, and not the one that is being written. */
async function countWritten() {
  const rows = await tastingsNewest(LOOK_AT);
  return rows.filter((row) => row.fields['example'] !== true && row.id !== openPour.value?.tasting).length;
}
