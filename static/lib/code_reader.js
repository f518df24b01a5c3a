// Reads codes from an image: with the browser's detector, or else with the bundled one, which needs no network.

/** @typedef {{ x: number, y: number, width: number, height: number }} Box in pixels of the picture */
/** @typedef {{ text: string, box: Box | null }} FoundCode box: null where the detector does not tell it */
/** @typedef {(picture: ImageData) => Promise<FoundCode[]>} Reader */

/** The codes that a reader looks for; names of the browser's detector and of the bundled one. */
const FORMATS = {
  barcode: {
    own: ['ean_13', 'ean_8', 'upc_a', 'upc_e'],
    bundled: /** @type {const} */ (['EAN13', 'EAN8', 'UPCA', 'UPCE']),
  },
  qr: { own: ['qr_code'], bundled: /** @type {const} */ (['QRCode']) },
};

/** @typedef {keyof typeof FORMATS} Code */

/** @type {Map<Code, Promise<Reader>>} */
const made = new Map();

/**
 * Create the reader on first use, because it is as large as the rest of the app.
 * @param {Code} code
 * @returns {Promise<Reader>}
 */
export function codeReader(code) {
  const reader = made.get(code) ?? makeReader(code);
  made.set(code, reader);
  reader.catch(() => made.delete(code));
  return reader;
}

/** @param {Code} code @returns {Promise<Reader>} */
async function makeReader(code) {
  return (await ownReader(code)) ?? bundledReader(code);
}

/** @param {Code} code @returns {Promise<Reader | null>} */
async function ownReader(code) {
  /** @type {any} missing in TypeScript's DOM types */
  const Detector = /** @type {any} */ (globalThis)['BarcodeDetector'];
  const known = await Detector?.getSupportedFormats?.().catch(() => []);
  const wanted = FORMATS[code].own;
  if (!known?.includes(wanted[0])) return null;
  const detector = new Detector({ formats: wanted.filter((format) => known.includes(format)) });
  return async (picture) =>
    (await detector.detect(picture)).map((/** @type {{ rawValue: string, boundingBox?: Box }} */ found) => ({
      text: found.rawValue,
      box: found.boundingBox ?? null,
    }));
}

/** @param {Code} code @returns {Promise<Reader>} */
async function bundledReader(code) {
  const { prepareZXingModule, readBarcodes } = await import('../vendor/zxing/reader/index.js');
  await prepareZXingModule({
    overrides: { locateFile: (/** @type {string} */ file) => `/vendor/zxing/${file}` },
    fireImmediately: true,
  });
  return async (picture) =>
    (await readBarcodes(picture, { formats: [...FORMATS[code].bundled], maxNumberOfSymbols: 1 }))
      .filter((found) => found.isValid)
      .map(({ text, position }) => ({ text, box: around(Object.values(position)) }));
}

/** @param {{ x: number, y: number }[]} corners @returns {Box} */
function around(corners) {
  const xs = corners.map(({ x }) => x);
  const ys = corners.map(({ y }) => y);
  const [x, y] = [Math.min(...xs), Math.min(...ys)];
  return { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y };
}
