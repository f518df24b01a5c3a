// Reads barcodes from an image: with the browser's detector, or else with the bundled one, which
// needs no network.

/** @typedef {(picture: ImageData) => Promise<string[]>} Reader */

const SHAPES = ['ean_13', 'ean_8', 'upc_a', 'upc_e'];

/** @type {Promise<Reader> | null} */
let made = null;

/**
 * Create the reader on first use, because it is as large as the rest of the app.
 * @returns {Promise<Reader>}
 */
export function barcodeReader() {
  made ??= makeReader().catch((error) => {
    made = null;
    throw error;
  });
  return made;
}

/** @returns {Promise<Reader>} */
async function makeReader() {
  return (await ownReader()) ?? broughtReader();
}

/** @returns {Promise<Reader | null>} */
async function ownReader() {
  /** @type {any} missing in TypeScript's DOM types */
  const Detector = /** @type {any} */ (globalThis)['BarcodeDetector'];
  const shapes = await Detector?.getSupportedFormats?.().catch(() => []);
  if (!shapes?.includes('ean_13')) return null;
  const detector = new Detector({ formats: SHAPES.filter((shape) => shapes.includes(shape)) });
  return async (picture) =>
    (await detector.detect(picture)).map((/** @type {{ rawValue: string }} */ found) => found.rawValue);
}

/** @returns {Promise<Reader>} */
async function broughtReader() {
  const { prepareZXingModule, readBarcodes } = await import('../../../vendor/zxing/reader/index.js');
  await prepareZXingModule({
    overrides: { locateFile: (/** @type {string} */ file) => `/vendor/zxing/${file}` },
    fireImmediately: true,
  });
  return async (picture) =>
    (await readBarcodes(picture, { formats: ['EAN13', 'EAN8', 'UPCA', 'UPCE'], maxNumberOfSymbols: 1 }))
      .filter((found) => found.isValid)
      .map((found) => found.text);
}
