// The reader of labels: whether it is on this phone, fetching it ahead of a shop without a network, and removing it.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { FetchButton, canStore } from '../../domain/label_photo/fetch_reader.js';
import { loadReader, megabytes } from '../../domain/label_photo/reader.js';

/** @typedef {{ stored: boolean, bytes: number }} State */

export function LabelReader() {
  const [state, setState] = useState(/** @type {State | null} */ (null));
  const heading = useRef(/** @type {HTMLElement | null} */ (null));
  const look = () =>
    loadReader()
      .then((reader) => reader.modelState())
      .then(setState, () => undefined);
  useEffect(() => {
    look();
  }, []);
  const lookAgain = async () => {
    // The button that was pressed goes with the state.
    heading.current?.focus();
    await look();
  };
  const remove = async () => {
    const reader = await loadReader();
    await reader.removeModel();
    await lookAgain();
    showToast(t('label_photo.settings_removed'));
  };
  return html`<section class="settings-part" aria-labelledby="settings-reader">
    <h2 id="settings-reader" tabindex="-1" ref=${heading}>${t('label_photo.settings')}</h2>
    ${state && html`<p class="soft" role="status">${stateText(state)}</p>`}
    ${state && !state.stored && canStore() && html`<${FetchButton} onStored=${lookAgain} />`}
    ${
      state?.stored &&
      html`<div class="buttons"><button type="button" class="button" onClick=${remove}>
      ${t('label_photo.settings_remove')}</button></div>`
    }
  </section>`;
}

/** @param {State} state */
function stateText({ stored, bytes }) {
  if (!canStore()) return t('label_photo.fetch_insecure');
  return t(stored ? 'label_photo.settings_on' : 'label_photo.settings_off', { size: megabytes(bytes) });
}
