// Buttons to load and remove the example notebook.
import { html, useMemo, useState } from '../../lib/ui.js';
import { countExample, ExampleError, loadExample, removeExample } from '../../store/example.js';
import { liveSignal } from '../../store/queries.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';

export function Example() {
  const count = useMemo(() => liveSignal(countExample, null), []).value;
  const [busy, setBusy] = useState(false);
  const act = async (/** @type {() => Promise<void>} */ work) => {
    setBusy(true);
    await work().finally(() => setBusy(false));
  };
  return html`<section class="settings-part" aria-labelledby="settings-example">
    <h2 id="settings-example">${t('settings.example')}</h2>
    <p class="soft">${t(count ? 'settings.example_on' : 'settings.example_off')}</p>
    <div class="buttons">${
      count
        ? html`<button type="button" class="button" disabled=${busy} onClick=${() => act(load)}>
          ${t('settings.example_away')}
        </button>`
        : html`<button type="button" class="button" disabled=${busy || count === null} onClick=${() => act(show)}>
          ${t('settings.example_show')}
        </button>`
    }</div>
  </section>`;
}

async function show() {
  try {
    await loadExample(document.documentElement.lang);
    showToast(t('settings.example_shown'));
  } catch (error) {
    if (!(error instanceof ExampleError)) throw error;
    showToast(t('settings.example_failed'));
  }
}

async function load() {
  const { undo } = await removeExample();
  showToast(t('settings.example_gone'), undo);
}
