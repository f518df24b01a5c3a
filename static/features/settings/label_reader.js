// The reader of labels: whether it is on this phone, and removing it.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { loadReader, megabytes } from '../../domain/label_photo/reader.js';

export function LabelReader() {
  const [state, setState] = useState(/** @type {{ stored: boolean, bytes: number } | null} */ (null));
  const look = () =>
    loadReader()
      .then((reader) => reader.modelState())
      .then(setState, () => undefined);
  useEffect(() => {
    look();
  }, []);
  const remove = async () => {
    const reader = await loadReader();
    await reader.removeModel();
    await look();
    showToast(t('label_photo.settings_removed'));
  };
  return html`<section class="settings-part" aria-labelledby="settings-reader">
    <h2 id="settings-reader">${t('label_photo.settings')}</h2>
    ${
      state &&
      html`<p class="soft">
      ${t(state.stored ? 'label_photo.settings_on' : 'label_photo.settings_off', { size: megabytes(state.bytes) })}
    </p>`
    }
    ${
      state?.stored &&
      html`<div class="buttons"><button type="button" class="button" onClick=${remove}>
      ${t('label_photo.settings_remove')}</button></div>`
    }
  </section>`;
}
