// What has happened to the book itself, said on every page: a lost book and a safe set back until it is read, a tab that cannot write until it can.
import { html } from '../ui.js';
import { t } from '../words.js';
import { acknowledgeLoss, storageState } from '../book/storage.js';
import { storeState } from '../book/store.js';
import { acknowledgeRewind, syncState } from '../book/sync.js';
import { laid, tryLaid } from '../book/unwritten.js';
import { place } from '../router.js';

export function Notices() {
  const { loss } = storageState.value;
  // The Pour says it itself, beside what it keeps trying to write.
  const isLaidAside = laid.value.length > 0 && place.value.room !== 'pour';
  return html`<${StoreNotice} state=${storeState.value} />
    ${isLaidAside && html`<${Notice} text=${t('app.laid_aside')} act=${t('pour.try_again')} onAct=${tryLaid} />`}
    ${loss && html`<${Notice} text=${loss.unsent ? t('app.loss_unsent', { count: loss.unsent }) : t('app.loss')} act=${t('app.have_read')} onAct=${acknowledgeLoss} />`}
    ${syncState.value.rewoundAt && html`<${Notice} text=${t('app.rewound')} act=${t('app.have_read')} onAct=${acknowledgeRewind} />`}`;
}

/** @param {{ state: string }} props */
function StoreNotice({ state }) {
  if (['closed', 'ready', 'full'].includes(state)) return null;
  const reloads = state === 'outdated' || state === 'connection_lost';
  return html`<${Notice} text=${t(`app.store_${state}`)} act=${reloads ? t('app.load_again') : null} onAct=${() => location.reload()} />`;
}

/** @param {{ text: string, act: string | null, onAct: () => void }} props */
function Notice({ text, act, onAct }) {
  return html`<div class="notice warm-notice" role="alert"><span>${text}</span>
    ${act && html`<button type="button" class="button" onClick=${onAct}>${act}</button>`}</div>`;
}
