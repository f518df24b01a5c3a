// The worker of the label reader: decodes a photo, finds its lines and recognizes them. One photo for each worker.
import { createOCREngine } from '../vendor/tesseract/lib.js';
import { PhotoDecodeError, decodePhoto } from './decode.js';
import { findLines, readLines } from './recognize.js';

/** @typedef {import('./recognize.js').Engine} Engine */
/** @typedef {import('./recognize.js').Found} Found */
/** @typedef {{ type: 'open', photo: Blob, program: Blob, model: Blob, lock: string }} Open */
/** @typedef {{ type: 'read', places: number[], letterPx?: number }} Read */

/** @type {{ engine: Engine, found: Found, scale: number } | null} */
let open = null;

/** @param {Blob} packed @returns {Promise<Uint8Array<ArrayBuffer>>} */
async function unpacked(packed) {
  const plain = packed.stream().pipeThrough(new DecompressionStream('gzip'));
  return new Uint8Array(await new Response(plain).arrayBuffer());
}

/**
 * Hold a lock for as long as the worker lives, so that the page notices its end.
 * @param {string} name
 * @returns {Promise<void>}
 */
function hold(name) {
  return new Promise((held) => {
    // Web Locks need a secure context.
    if (!navigator.locks) held();
    else void navigator.locks.request(name, () => (held(), new Promise(() => {})));
  });
}

/** @param {Open} asked */
async function openPhoto({ photo, program, model, lock }) {
  await hold(lock);
  self.postMessage({ holds: lock });
  const picture = await decodePhoto(photo);
  const engine = await createOCREngine({ wasmBinary: await unpacked(program) });
  engine.loadModel(await unpacked(model));
  const found = findLines(picture.gray);
  const { scale, width, height, barcodes } = picture;
  open = { engine: /** @type {any} */ (engine), found, scale };
  return { width, height, barcodes, lines: found.lines.length };
}

/** @param {Read} asked */
function readPlaces({ places, letterPx }) {
  if (!open) throw new Error('no photo is open');
  const { engine, found, scale } = open;
  const inPhoto = (/** @type {any} */ word) => ({
    ...word,
    box: Object.fromEntries(Object.entries(word.box).map(([side, value]) => [side, Number(value) / scale])),
  });
  return readLines(engine, found, places, letterPx).map((line) => ({
    ...inPhoto(line),
    words: line.words.map(inPhoto),
  }));
}

self.onmessage = async (/** @type {MessageEvent<Open | Read>} */ { data }) => {
  try {
    const answer = data.type === 'open' ? await openPhoto(data) : readPlaces(data);
    self.postMessage({ answer });
  } catch (error) {
    const code = error instanceof PhotoDecodeError ? error.code : 'failed';
    self.postMessage({ error: { code, message: String(error) } });
  }
};
