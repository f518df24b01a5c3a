// Starts the app: loads the messages, opens the store, renders the first screen, then starts
// background work.
import { html, render, signal, useEffect, useLayoutEffect, useRef, useState } from './lib/ui.js';
import { setLanguage, loadMessages, t } from './i18n.js';
import { number } from './lib/format.js';
import { pause, untilLoaded } from './lib/until_loaded.js';
import { route, screens } from './router.js';
import { Toast } from './components/layout/toast.js';
import { sayIfSlow } from './features/shell/lazy.js';
import { accountEvents } from './account/events_state.js';
import { openStore, storeState } from './store/open.js';
import { storageState } from './store/persistence.js';
import { syncStatus } from './sync/status.js';
import { installOption, listenForInstall } from './pwa/install_prompt.js';
import { journaled } from './store/write_journal.js';
import { applyTheme } from './first_paint.js';

/** @typedef {(props: { path: string[], query: URLSearchParams }) => unknown} Screen */
/**
 * @typedef {{ Screen: Screen, prepare?: (path: string[]) => Promise<void>, isReady?: (path: string[]) => boolean
 *   }} LazyScreen prepare: reads the data of the screen before it is first rendered; isReady: tells that they were read
 */

const screenLoaders = /** @type {Record<string, () => Promise<LazyScreen>>} */ ({
  pour: () => import('./features/pour/screen.js'),
  book: () => import('./features/book/screen.js'),
  shelf: () => import('./features/shelf/screen.js'),
  palate: () => import('./features/palate/screen.js'),
  table: () => import('./features/table/screen.js'),
  settings: () => import('./features/settings/screen.js'),
  guest: () => import('./features/guest/screen.js'),
});

/** @type {Record<string, LazyScreen>} screens that were opened before */
const loadedScreens = {};

/**
 * @param {string} name
 * @returns {string} the key of the screen's loader; unknown names lead to pour
 */
const screenOf = (name) => (Object.hasOwn(screenLoaders, name) ? name : 'pour');

/** The component that offers a newer version; null until it is loaded. */
const Later = signal(/** @type {(() => unknown) | null} */ (null));

/** @param {{ first: string }} props the screen that the app starts with */
function App({ first }) {
  const { screen, path, query } = route.value;
  const name = screenOf(screen);
  const [, rerender] = useState({});
  // The previous screen stays until the next one is loaded.
  const shown = useRef({ name: first, path, query });
  // In the same frame as the tap, because a promise would cost a frame.
  if (shown.current.name === name || isReady(name, path)) shown.current = { name, path, query };
  // In a layout effect, because an effect after the paint would delay the navigation.
  useLayoutEffect(() => {
    if (shown.current.name === name) return undefined;
    return sayIfSlow(loadScreen(name, path), () => {
      shown.current.name = name;
      rerender({});
    });
  }, [name]);
  return html`<a class="skip" href="#page" onClick=${skip}>${t('app.skip')}</a>
    ${Later.value && html`<${Later.value} />`}<${LazyNotices} /><${LazyInstallPrompt} /><${Toast} />
    <${loadedScreens[shown.current.name]?.Screen} key=${shown.current.name} path=${shown.current.path}
      query=${shown.current.query} />
    <nav class="main-nav" aria-label=${t('app.menu')}>
    <ul>
      ${screens.map(
        (each) => html`<li>
      <a href=${`#/${each}`} aria-current=${each === name ? 'page' : undefined}>${t(`app.room_${each}`)}
      </a>
      </li>`,
      )}
    </ul>
    </nav>`;
}

/** Load code and messages of the notices only when there is one, because they are rare. */
function LazyNotices() {
  const [Notices, setNotices] = useState(/** @type {{ Notices: () => unknown } | null} */ (null));
  const isBroken = storageState.value.loss || !['closed', 'ready'].includes(storeState.value);
  const hasEvents = syncStatus.value.rewoundAt || accountEvents.value.length > 0 || journaled.value.length > 0;
  const hasNotices = isBroken || hasEvents;
  useEffect(() => {
    if (hasNotices) untilLoaded(() => import('./features/shell/notices.js')).then(setNotices);
  }, [Boolean(hasNotices)]);
  return hasNotices && Notices ? html`<${Notices.Notices} />` : null;
}

/** Load the install banner only if the browser can install the app. */
function LazyInstallPrompt() {
  const [Install, setInstall] = useState(/** @type {{ InstallBanner: () => unknown } | null} */ (null));
  // A guest came to taste, not to install anything.
  const isGuest = route.value.screen === 'guest';
  const possible = !isGuest && (installOption.value === 'ask' || installOption.value === 'by_hand');
  useEffect(() => {
    if (possible) import('./features/shell/install_banner.js').then(setInstall);
  }, [possible]);
  return possible && Install ? html`<${Install.InstallBanner} />` : null;
}

/** @param {string} name */
const loadCode = (name) => untilLoaded(/** @type {() => Promise<LazyScreen>} */ (screenLoaders[name]));

/** @param {string} name @param {string[]} path */
async function loadScreen(name, path) {
  const loaded = await loadCode(name);
  await loaded.prepare?.(path).catch(() => undefined);
  loadedScreens[name] = loaded;
}

/** Tell whether a screen can be rendered at once. @param {string} name @param {string[]} path */
function isReady(name, path) {
  const loaded = loadedScreens[name];
  return loaded && (!loaded.prepare || loaded.isReady?.(path));
}

/** @param {Event} event prevented: following the link would replace the hash route */
function skip(event) {
  event.preventDefault();
  document.querySelector('h1')?.setAttribute('tabindex', '-1');
  document.querySelector('h1')?.focus();
}

async function boot() {
  listenForInstall();
  const { screen, path } = route.value;
  const name = screenOf(screen);
  const asked = [loadLanguage(null), loadCode(name)];
  // Each in its own task, so that the page can handle input in between: opening the tables, and
  // creating the browser's number format, which the quick note does without.
  const opened = nextTask(openStore);
  if (name !== 'pour') nextTask(() => number(0));
  const [book] = await Promise.all([opened, ...asked]);
  await loadLanguage(book.settings.language);
  // After the messages, because `prepare` may build texts.
  await loadScreen(name, path);
  applyTheme(book.settings.light);
  const app = /** @type {HTMLElement} */ (document.getElementById('app'));
  app.replaceChildren();
  render(html`<${App} first=${name} />`, app);
  if ('requestIdleCallback' in globalThis) requestIdleCallback(startBackground);
  else setTimeout(startBackground, 200);
}

/**
 * @template T
 * @param {() => T | Promise<T>} task
 * @returns {Promise<T>} resolves with the result of `task`, run in the next task
 */
function nextTask(task) {
  return pause().then(task);
}

/**
 * Load the messages: first in the phone's language, then in the one of the settings.
 * @param {string | null | undefined} language
 */
function loadLanguage(language) {
  setLanguage(language);
  return untilLoaded(loadMessages);
}

function startBackground() {
  untilLoaded(() => import('./features/shell/background.js')).then((background) => {
    Later.value = background.NewVersion;
    background.startBackground();
  });
}

// In a new task: an import() during module evaluation makes the engine parse this module again to
// find the position of the call.
nextTask(boot);
