// A line at the foot of the page: what was just done, and the way back from it while it stands there.
import { route } from '../../router.js';
import { html, signal } from '../../lib/ui.js';
import { t } from '../../i18n.js';

const STANDS_MS = 8000;
// What was said in going stands on the page one comes to.
const GOING_MS = 1000;

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
  }, STANDS_MS);
}

// Whoever goes on has read it; the way back is kept.
route.subscribe(() => {
  if (!line.value?.undo && Date.now() - since > GOING_MS) line.value = null;
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
