// Notices about the stored data, shown on every screen: data loss, a restored server, a tab that
// cannot save.
import { html } from '../../lib/ui.js';
import { date, time } from '../../lib/format.js';
import { t } from '../../i18n.js';
import { acknowledgeLoss, storageState } from '../../store/persistence.js';
import { storeState } from '../../store/open.js';
import { acknowledgeEvents } from '../../account/events.js';
import { accountEvents } from '../../account/events_state.js';
import { acknowledgeRewind, syncStatus } from '../../sync/index.js';
import { journaled, tryJournal } from '../../store/write_journal.js';
import { route } from '../../router.js';
import { unsentText } from './page.js';

export function Notices() {
  const { loss } = storageState.value;
  // The pour screen shows this itself.
  const hasJournal = journaled.value.length > 0 && route.value.screen !== 'pour';
  return html`<${StoreNotice} state=${storeState.value} isSaid=${hasJournal || route.value.screen === 'pour'} />
    ${hasJournal && html`<${Notice} text=${t('app.laid_aside')} act=${t('pour.try_again')} onAct=${tryJournal} />`}
    ${
      loss &&
      html`<${Notice} text=${lossText(loss)}
        act=${t('app.have_read')} onAct=${acknowledgeLoss} />`
    }
    ${
      syncStatus.value.rewoundAt &&
      html`<${Notice} text=${t('app.rewound')} act=${t('app.have_read')}
        onAct=${acknowledgeRewind} />`
    }
    ${
      accountEvents.value.length > 0 &&
      html`<${Notice} text=${eventsText(accountEvents.value)} act=${t('app.have_read')}
        onAct=${acknowledgeEvents} link=${t('app.news_devices')} />`
    }`;
}

/** @param {{ unsent: number, changes?: number }} loss */
function lossText({ unsent: notes, changes = 0 }) {
  return notes + changes ? t('app.loss_unsent', { what: unsentText({ notes, changes }) }) : t('app.loss');
}

/** @param {import('../../account/events.js').AccountEvent[]} events */
function eventsText(events) {
  const texts = events.map(({ kind, name, at, standing }) =>
    t(kind === 'device' && !standing ? 'app.news_device_out' : `app.news_${kind}`, {
      name: name || t('app.news_nameless'),
      date: date(at),
      time: time(at),
    }),
  );
  return `${texts.join(' ')} ${t('app.news_not_you')}`;
}

/** @param {{ state: string, isSaid: boolean }} props isSaid: the screen says already that the phone is full */
function StoreNotice({ state, isSaid }) {
  if (['closed', 'ready', 'erased'].includes(state) || (state === 'full' && isSaid)) return null;
  const reloads = state === 'outdated' || state === 'connection_lost';
  return html`<${Notice} text=${t(`app.store_${state}`)} act=${reloads ? t('app.load_again') : null}
      onAct=${() => location.reload()} />`;
}

/**
 * @param {{ text: string, act: string | null, onAct: () => void, link?: string }} props link: text
 *   of a link to the devices
 */
function Notice({ text, act, onAct, link }) {
  return html`<div class="notice warm-notice" role="alert"><span>${text}</span>
    ${link && html`<a class="button plain" href="#/settings/devices">${link}</a>`}
    ${act && html`<button type="button" class="button" onClick=${onAct}>${act}</button>`}</div>`;
}
