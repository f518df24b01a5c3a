// Opens the book: words first, then the room one stands in; sync begins after the first screen is painted.
import { html, render, signal, useEffect, useLayoutEffect, useRef, useState } from './lib/ui.js';
import { setLanguage, loadMessages, t } from './i18n.js';
import { number } from './lib/format.js';
import { route, screens } from './router.js';
import { Toast } from './components/layout/toast.js';
import { accountNews } from './account/news_state.js';
import { openStore, storeState } from './store/open.js';
import { storageState } from './store/persistence.js';
import { syncStatus } from './sync/status.js';
import { installOption, listenForInstall } from './pwa/install_prompt.js';
import { journaled } from './store/write_journal.js';
import { applyTheme } from './first_paint.js';

/** @typedef {(props: { path: string[], query: URLSearchParams }) => unknown} Screen */
/**
 * @typedef {{ Screen: Screen, prepare?: (path: string[]) => Promise<void> }} LazyScreen prepare: reads what the room
 *   shows first, so that it is not shown empty
 */

const screenLoaders = /** @type {Record<string, () => Promise<LazyScreen>>} */ ({
  pour: () => import('./features/pour/screen.js'),
  book: () => import('./features/book/screen.js'),
  shelf: () => import('./features/shelf/screen.js'),
  palate: () => import('./features/palate/screen.js'),
  settings: () => import('./features/settings/screen.js'),
});

/** @param {string} room @returns {string} the room behind whose door one stands */
const screenOf = (room) => (room in screenLoaders ? room : 'pour');

/** The offer of a newer version, once it is fetched. */
const Later = signal(/** @type {(() => unknown) | null} */ (null));

/** @param {{ first: { door: string, Screen: Screen } }} props the room that one opens the book at */
function App({ first }) {
  const { room, path, query } = route.value;
  const door = screenOf(room);
  const [Open, setOpen] = useState(first);
  // The room one leaves stays as it was until the next one is open.
  const previousScreen = useRef({ path, query });
  if (Open.door === door) previousScreen.current = { path, query };
  // Before the next paint, not after it: a tap waits for this.
  useLayoutEffect(() => {
    if (Open.door === door) return undefined;
    let left = false;
    loadScreen(door, path).then((Screen) => {
      if (!left) setOpen({ door, Screen });
    });
    return () => {
      left = true;
    };
  }, [door]);
  return html`<a class="skip" href="#page" onClick=${skip}>${t('app.skip')}</a>
    ${Later.value && html`<${Later.value} />`}<${LazyNotices} /><${LazyInstallPrompt} />
    <${Open.Screen} key=${Open.door} path=${previousScreen.current.path} query=${previousScreen.current.query} />
    <${Toast} />
    <nav class="rooms" aria-label=${t('app.rooms')}>
    <ul>
      ${screens.map(
        (name) => html`<li>
      <a href=${`#/${name}`} aria-current=${name === door ? 'page' : undefined}>${t(`app.room_${name}`)}
      </a>
      </li>`,
      )}
    </ul>
    </nav>`;
}

/** What befell the book is rare, so the words for it are fetched when there is something to tell. */
function LazyNotices() {
  const [Notices, setNotices] = useState(/** @type {{ Notices: () => unknown } | null} */ (null));
  const isBroken = storageState.value.loss || !['closed', 'ready'].includes(storeState.value);
  const isNews = syncStatus.value.rewoundAt || accountNews.value.length > 0 || journaled.value.length > 0;
  const something = isBroken || isNews;
  useEffect(() => {
    if (something) import('./features/shell/notices.js').then(setNotices);
  }, [Boolean(something)]);
  return something && Notices ? html`<${Notices.Notices} />` : null;
}

/** The home screen is offered where the browser would do it; the rest of that is fetched then. */
function LazyInstallPrompt() {
  const [Install, setInstall] = useState(/** @type {{ InstallBanner: () => unknown } | null} */ (null));
  const possible = installOption.value === 'ask' || installOption.value === 'by_hand';
  useEffect(() => {
    if (possible) import('./features/shell/install_banner.js').then(setInstall);
  }, [possible]);
  return possible && Install ? html`<${Install.InstallBanner} />` : null;
}

/** @param {string} door @param {string[]} path @returns {Promise<Screen>} */
async function loadScreen(door, path) {
  const { Screen, prepare } = await /** @type {() => Promise<LazyScreen>} */ (screenLoaders[door])();
  await prepare?.(path).catch(() => undefined);
  return Screen;
}

/** @param {Event} event the hash is the place one stands in, so the skip link moves the focus itself */
function skip(event) {
  event.preventDefault();
  document.querySelector('h1')?.setAttribute('tabindex', '-1');
  document.querySelector('h1')?.focus();
}

async function boot() {
  listenForInstall();
  const { room, path } = route.value;
  const door = screenOf(room);
  const asked = [loadLanguage(null), screenLoaders[door]?.()];
  // Each in a task of its own, so that a slow phone is never deaf for long: the book's tables, and the browser's own
  // of numbers.
  const opened = nextTask(openStore);
  nextTask(() => number(0));
  const [book] = await Promise.all([opened, ...asked]);
  await loadLanguage(book.settings.language);
  // What a room reads first it words too, so the words come before it.
  const Screen = await loadScreen(door, path);
  applyTheme(book.settings.light);
  const app = /** @type {HTMLElement} */ (document.getElementById('app'));
  app.replaceChildren();
  render(html`<${App} first=${{ door, Screen }} />`, app);
  if ('requestIdleCallback' in globalThis) requestIdleCallback(startBackground);
  else setTimeout(startBackground, 200);
}

/** @template T @param {() => T | Promise<T>} work @returns {Promise<T>} what it gives in the next task */
function nextTask(work) {
  return new Promise((resolve) => {
    setTimeout(resolve);
  }).then(work);
}

/**
 * The words are asked for by the phone's own language at once, and again where the settings have another.
 * @param {string | null | undefined} wanted
 */
function loadLanguage(wanted) {
  setLanguage(wanted);
  return loadMessages();
}

function startBackground() {
  import('./features/shell/background.js').then((background) => {
    Later.value = background.NewVersion;
    background.startBackground();
  });
}

// Not while the module is still being read: what is asked for here is told with where it was asked, for which all of
// it would be read again.
nextTask(boot);
