// The letter of the glass that the page is about, which a screen reader speaks as "Glass A".
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';

/** @param {{ mark: string | null | undefined }} props */
export function GlassMark({ mark }) {
  return html`<span class="glass-mark" role="img" aria-label=${t('table.glass', { mark: mark ?? '' })}>${mark}</span>`;
}
