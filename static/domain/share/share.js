// Shares a tasting or a visit as text or picture, both made on this phone, or prints the page. Only a
// tap sends it anywhere.
import { html, useId } from '../../lib/ui.js';
import { printing } from '../../lib/printing.js';
import { t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { giveFiles } from '../give_file.js';
import { renderShareImages } from './share_image.js';
import { shareText } from './share_text.js';

/** @typedef {import('./share_data.js').SharedTasting | import('./share_data.js').SharedVisit} Shared */

/** @param {{ title: string, data: () => Shared }} props data: collected when it is asked for */
export function Share({ title, data }) {
  const asText = () => giveText(shareText(data()));
  const asPicture = async () => giveFiles(await renderShareImages(data()), t('book.share_saved'));
  const id = useId();
  return html`<section class="tasting-step share" aria-labelledby=${id}><h2 id=${id}>${title}</h2><div class="buttons">
    <button type="button" class="button" onClick=${asText}>${t('book.share_text')}</button>
    <button type="button" class="button" onClick=${asPicture}>${t('book.share_picture')}</button>
    <button type="button" class="button" onClick=${printPage}>${t('book.print')}</button></div>
    <p class="soft small">${t('book.share_note')}</p></section>`;
}

/** Print when the folds are open, because the browser takes the page as it is. */
function printPage() {
  printing.value = true;
  requestAnimationFrame(() => setTimeout(() => print()));
}

/** Use the browser's share function; without it, or if it fails, copy the text. @param {string} text */
async function giveText(text) {
  if (navigator.canShare?.({ text }) && (await isShared({ text }))) return;
  await navigator.clipboard.writeText(text);
  showToast(t('book.share_copied'));
}

/**
 * Return whether the share function opened. A person who closes it needs no copy.
 * @param {ShareData} data
 */
async function isShared(data) {
  try {
    await navigator.share(data);
    return true;
  } catch (error) {
    return /** @type {Error} */ (error).name === 'AbortError';
  }
}
