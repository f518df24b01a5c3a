// Toast at the bottom of the page: says what was done, with an undo button if there is one.
import { route } from '../../router.js';
import { html, signal } from '../../lib/ui.js';
import { t } from '../../i18n.js';

const VISIBLE_MS = 8000;
// A toast shown less than this before navigation stays on the next page.
const NAVIGATION_MS = 1000;

const line = signal(/** @type {{ text: string, undo: (() => void) | null } | null} */ (null));
let timer = 0;
let since = 0;

/** @param {string} text @param {(() => void) | null} [undo] */
export function showToast(text, undo = null) {
  clearTimeout(timer);
  line.value = { text, undo };
  since = Date.now();
  timer = setTimeout(() => {
    line.value = null;
  }, VISIBLE_MS);
}

// Navigation dismisses a toast, unless it has an undo button.
route.subscribe(() => {
  if (!line.value?.undo && Date.now() - since > NAVIGATION_MS) line.value = null;
});

export function Toast() {
  const now = line.value;
  const back = () => {
    line.value = null;
    now?.undo?.();
  };
  return html`<div role="status" aria-live="polite">${
    now &&
    html`<div class="said"><span>${now.text}</span>
    ${
      now.undo
        ? html`<button type="button" class="button plain" onClick=${back}>${t('parts.undo')}</button>`
        : html`<button type="button" class="button plain" onClick=${() => {
            line.value = null;
          }}>${t('parts.close')}</button>`
    }</div>`
  }</div>`;
}
