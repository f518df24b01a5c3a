// Modal dialog. The close button, Escape or a tap outside closes it.
import { html, useId, useLayoutEffect, useRef } from '../../lib/ui.js';
import { t } from '../../i18n.js';

/**
 * @param {{ title: string, open: boolean, onClose: () => void, className?: string, children?: unknown }} props
 *   className: `steady` for a sheet whose content changes height
 */
export function Sheet({ title, open, onClose, className = '', children }) {
  const id = useId();
  const dialog = useRef(/** @type {HTMLDialogElement | null} */ (null));
  // In a layout effect, so that the focus is restored before the next key press.
  useLayoutEffect(() => {
    if (open) dialog.current?.showModal();
    else dialog.current?.close();
  }, [open]);
  const outside = (/** @type {MouseEvent} */ event) => {
    if (event.target === dialog.current) onClose();
  };
  return html`<dialog class=${`sheet ${className}`} ref=${dialog} aria-labelledby=${id} onClose=${onClose}
      onClick=${outside}>
    ${
      open &&
      html`<div class="sheet-head">
    <h2 id=${id}>${title}
    </h2>
    <button type="button" class="button plain" onClick=${onClose}>${t('parts.close')}
    </button>
    </div>
    ${children}`
    }
  </dialog>`;
}
