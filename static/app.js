// Opens the book: words first, then the room one stands in; sync begins after the first screen is painted.
import { html, render, useEffect, useRef, useState } from './ui.js';
import { chooseLanguage, loadWords, t } from './words.js';
import { place, rooms } from './router.js';
import { Said } from './parts/said.js';
import { openBook, storeState } from './book/store.js';
import { storageState } from './book/storage.js';
import { startSync, syncState } from './book/sync.js';
import { installWay, watchInstall } from './book/install.js';
import { newVersion, takeNewVersion, watchVersion } from './book/update.js';

/** @typedef {(props: { path: string[], query: URLSearchParams }) => unknown} Room */

const doors = /** @type {Record<string, () => Promise<{ Room: Room, words: string[] }>>} */ ({
  pour: () => import('./rooms/pour/room.js'),
  book: () => import('./rooms/book/room.js'),
  shelf: () => import('./rooms/shelf/room.js'),
  palate: () => import('./rooms/palate/room.js'),
  settings: () => import('./rooms/settings/room.js'),
});

function House() {
  const { room, path, query } = place.value;
  const door = room in doors ? room : 'pour';
  const [Open, setOpen] = useState(/** @type {{ door: string, Room: Room } | null} */ (null));
  // The room one leaves stays as it was until the next one is open.
  const stood = useRef({ path, query });
  if (!Open || Open.door === door) stood.current = { path, query };
  useEffect(() => {
    let left = false;
    enter(door).then((Room) => { if (!left) setOpen({ door, Room }); });
    return () => { left = true; };
  }, [door]);
  return html`<a class="skip" href="#page" onClick=${skip}>${t('app.skip')}</a>
    ${newVersion.value && html`<div class="notice" role="status"><span>${t('app.new_version')}</span><button type="button" class="button" onClick=${takeNewVersion}>${t('app.take_new_version')}</button></div>`}
    <${Told} /><${Offer} />
    ${Open && html`<${Open.Room} key=${Open.door} path=${stood.current.path} query=${stood.current.query} />`}
    <${Said} />
    <nav class="rooms" aria-label=${t('app.rooms')}><ul>${rooms.map((name) => html`<li><a href=${`#/${name}`} aria-current=${name === door ? 'page' : undefined}>${t(`app.room_${name}`)}</a></li>`)}</ul></nav>`;
}

/** What befell the book is rare, so the words for it are fetched when there is something to tell. */
function Told() {
  const [Notices, setNotices] = useState(/** @type {{ Notices: () => unknown } | null} */ (null));
  const something = storageState.value.loss || syncState.value.rewoundAt || !['closed', 'ready'].includes(storeState.value);
  useEffect(() => { if (something) import('./rooms/notices.js').then(setNotices); }, [Boolean(something)]);
  return something && Notices ? html`<${Notices.Notices} />` : null;
}

/** The home screen is offered where the browser would do it; the rest of that is fetched then. */
function Offer() {
  const [Install, setInstall] = useState(/** @type {{ InstallOffer: () => unknown } | null} */ (null));
  const possible = installWay.value === 'ask' || installWay.value === 'by_hand';
  useEffect(() => { if (possible) import('./rooms/install_offer.js').then(setInstall); }, [possible]);
  return possible && Install ? html`<${Install.InstallOffer} />` : null;
}

/** @param {string} door @returns {Promise<Room>} */
async function enter(door) {
  const { Room, words } = await /** @type {() => Promise<{ Room: Room, words: string[] }>} */ (doors[door])();
  await loadWords(...words);
  return Room;
}

/** @param {Event} event the hash is the place one stands in, so the skip link moves the focus itself */
function skip(event) {
  event.preventDefault();
  document.querySelector('h1')?.setAttribute('tabindex', '-1');
  document.querySelector('h1')?.focus();
}

async function open() {
  watchInstall();
  const { room } = place.value;
  doors[room in doors ? room : 'pour']?.();
  const book = await openBook();
  chooseLanguage(book.settings.language);
  document.documentElement.dataset['light'] = book.settings.light ?? 'auto';
  await loadWords('app', 'parts', 'spec');
  render(html`<${House} />`, /** @type {HTMLElement} */ (document.getElementById('app')));
  if ('requestIdleCallback' in globalThis) requestIdleCallback(begin);
  else setTimeout(begin, 200);
}

function begin() {
  startSync();
  watchVersion();
}

open();
