// Scans a barcode by camera, or takes a typed one. A known number fills in the pick.
import { html, useEffect, useRef, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { TextField } from '../../../components/form/field.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { gtinInStore, gtinNormal, gtinValid } from '../../../rules/label/product_codes.js';
import { scanCodes } from '../../../lib/scan_codes.js';

const SCAN_INTERVAL_MS = 180;

/**
 * @param {{ open: boolean, onClose: () => void, onFound: (gtin: string) => void }} props `onFound` gets 13 or 14
 *   digits
 */
export function ScanSheet({ open, onClose, onFound }) {
  return html`<${Sheet} title=${t('shelf.scan')} open=${open} onClose=${onClose}>
    ${open && html`<${Scan} onFound=${onFound} />`}
  <//>`;
}

/** @param {{ onFound: (gtin: string) => void }} props */
function Scan({ onFound }) {
  const [typed, setTyped] = useState(/** @type {string | null} */ (null));
  const [own, setOwn] = useState(false);
  const useCode = (/** @type {string} */ code) => {
    if (gtinInStore(code)) setOwn(true);
    else onFound(gtinNormal(code));
  };
  const write = (/** @type {string | null} */ text) => {
    const digits = (text ?? '').replace(/[ -]/g, '');
    setTyped(text);
    if (gtinValid(digits)) useCode(digits);
  };
  const long = (typed ?? '').replace(/\D/g, '').length;
  return html`<${Viewfinder} onRead=${useCode} />
    ${own && html`<p class="field-error" role="alert">${t('shelf.scan_in_store')}</p>`}
    <${TextField} label=${t('shelf.scan_typed')} value=${typed} onChange=${write} maxLength=${20}
        error=${
          [8, 12, 13, 14].includes(long) && !gtinValid((typed ?? '').replace(/[ -]/g, ''))
            ? t('error.bad_check_digit')
            : null
        }
        note=${t('shelf.scan_note')} />`;
}

/**
 * Show the camera image, and scan it until a number with a valid check digit is found.
 * @param {{ onRead: (code: string) => void }} props
 */
function Viewfinder({ onRead }) {
  const video = useRef(/** @type {HTMLVideoElement | null} */ (null));
  const [errorCode, setErrorCode] = useState(/** @type {string | null} */ (null));
  useEffect(() => {
    const use = (/** @type {string} */ text) => {
      if (!gtinValid(text)) return;
      stop();
      onRead(text);
    };
    const how = /** @type {const} */ ({ code: 'barcode', wait_ms: SCAN_INTERVAL_MS });
    const stop = scanCodes(/** @type {HTMLVideoElement} */ (video.current), how, use, setErrorCode);
    return stop;
  }, []);
  return html`${
    errorCode
      ? html`<p role="alert">${t(`shelf.scan_${errorCode}`)}
  </p>`
      : html`<p class="soft">${t('shelf.scan_how')}
  </p>`
  }
    <div class="scan-window" hidden=${errorCode !== null}>
    <video ref=${video} playsinline muted aria-label=${t('shelf.scan_window')}>
    </video>
    </div>`;
}
