// Says whose palate the screen shows, and leads to that of the example's taster.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { toTop } from '../../router.js';
import { fetchExamplePalate } from '../../store/palate_cache.js';
import { hasExample } from '../../store/tasters.js';
import { showToast } from '../../components/layout/toast.js';

/** @typedef {import('../../domain/palate/document.js').PalateDocument} PalateDocument */

/** @param {{ shown: 'own' | 'example' | 'learning', onBack: (() => void) | null }} props */
export function Whose({ shown, onBack }) {
  if (shown === 'own') return null;
  if (shown === 'learning') return html`<p class="notice" role="status">${t('palate.learning')}</p>`;
  return html`<div class="notice">
    <span>${t(onBack ? 'palate.of_sample' : 'palate.of_sample_first')}</span>
    ${onBack && html`<button type="button" class="button plain" onClick=${onBack}>${t('palate.back_to_mine')}</button>`}
  </div>`;
}

/** @param {{ onFound: (palate: PalateDocument) => void }} props */
export function ExamplePalateLink({ onFound }) {
  const [busy, setBusy] = useState(false);
  if (!hasExample.value) return null;
  const look = async () => {
    setBusy(true);
    const found = await fetchExamplePalate();
    setBusy(false);
    if (!found?.example) return showToast(t('palate.no_sample'));
    onFound(found);
    return toTop();
  };
  return html`<p><button type="button" class="button plain" disabled=${busy} onClick=${look}>
    ${t('palate.show_sample')}
  </button></p>`;
}
