// Toast over the title of the page, where it hides no control: says what was done, with an undo button if there is one.
import { arrivals } from '../../router.js';
import { html, signal, useLayoutEffect, useRef } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { visibleMs } from './toast_time.js';

/**
 * @typedef {{ everywhere?: boolean, label?: string, isOffer?: boolean, isOver?: () => boolean, yields?: boolean }} How
 *   everywhere: an alarm, which is of no screen; label: of the button, if it is not "Undo"; isOffer: the button undoes
 *   nothing; isOver: reads signals that make the text untrue; yields: leaves a toast that is shown, which may undo
 */

const line = signal(/** @type {{ text: string, undo: (() => void) | null } & How | null} */ (null));
let timer = 0;

/**
 * @param {string} text
 * @param {(() => void) | null} [undo]
 * @param {How} [how]
 */
export function showToast(text, undo = null, how = {}) {
  if (how.yields && line.peek()) return;
  line.value = { text, undo, ...how };
  startTimer();
}

function hide() {
  clearTimeout(timer);
  line.value = null;
}

function startTimer() {
  clearTimeout(timer);
  const now = line.peek();
  if (now) timer = setTimeout(hide, visibleMs(now.text, now.undo !== null));
}

// A toast belongs to the screen that it was shown on.
arrivals.subscribe(() => {
  if (line.peek()?.everywhere) return;
  hide();
  document.documentElement.style.removeProperty('--toast');
});

export function Toast() {
  const now = line.value?.isOver?.() ? null : line.value;
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  // The title gets at least this height. It keeps it when the toast goes, so that nothing moves under a thumb.
  useLayoutEffect(() => {
    const { classList, style } = document.documentElement;
    classList.toggle('with-toast', now !== null);
    if (!box.current) return;
    style.setProperty('--toast', `${box.current.offsetHeight}px`);
    import('./toast_place.js').then(
      ({ placeToast }) => box.current && placeToast(box.current),
      () => {},
    );
  }, [now]);
  const back = () => {
    hide();
    now?.undo?.();
  };
  return html`<div class="toasts" role="status" aria-live="polite">${
    now &&
    html`<div class="toast" ref=${box} onFocusIn=${() => clearTimeout(timer)} onFocusOut=${startTimer}>
      <span>${now.text}</span>
    ${
      now.undo
        ? html`<button type="button" class="button plain" aria-keyshortcuts=${now.isOffer ? null : 'Control+Z'}
            onClick=${back}>${now.label ?? t('parts.undo')}</button>`
        : html`<button type="button" class="button plain" onClick=${hide}>${t('parts.close')}</button>`
    }</div>`
  }</div>`;
}
