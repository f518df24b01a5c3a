// The worker of the label reader: decodes a photo, finds its lines and recognizes them. One photo for each worker.
import { createOCREngine } from '../vendor/tesseract/lib.js';
import { PhotoDecodeError, decodePhoto } from './decode.js';
import { findLines, readLines } from './recognize.js';

/** @typedef {import('./recognize.js').Engine} Engine */
/** @typedef {import('./recognize.js').Found} Found */
/** @typedef {{ type: 'open', photo: Blob, program: Blob, model: Blob, lock: string, inColumns?: boolean }} Open */
/** @typedef {{ type: 'read', places: number[], letterPx?: number, inRows?: boolean }} Read */

/** @type {{ files: { program: Blob, model: Blob }, found: Found, scale: number } | null} */
let open = null;
/** @type {Promise<Engine> | null} */
let engine = null;

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

/** @param {{ program: Blob, model: Blob }} files @returns {Promise<Engine>} */
async function startEngine({ program, model }) {
  const started = await createOCREngine({ wasmBinary: await unpacked(program) });
  started.loadModel(await unpacked(model));
  return /** @type {any} */ (started);
}

/** @param {Open} asked */
async function openPhoto({ photo, program, model, lock, inColumns }) {
  await hold(lock);
  self.postMessage({ holds: lock });
  const { gray, scale, width, height, barcodes } = await decodePhoto(photo);
  const found = findLines(gray, { inColumns });
  open = { files: { program, model }, found, scale };
  return { width, height, barcodes, angle: found.source.cut.angle, lines: found.lines.length };
}

/** @param {Read} asked */
async function readPlaces({ places, letterPx, inRows }) {
  if (!open) throw new Error('no photo is open');
  // A picture without print needs no engine, which takes most of the memory.
  if (!places.length) return [];
  const { files, found, scale } = open;
  engine ??= startEngine(files);
  const inPhoto = (/** @type {any} */ word) => ({
    ...word,
    box: Object.fromEntries(Object.entries(word.box).map(([side, value]) => [side, Number(value) / scale])),
  });
  return readLines(await engine, found, places, { letterPx, inRows }).map((line) => ({
    ...inPhoto(line),
    words: line.words.map(inPhoto),
  }));
}

/**
 * Return the code of an error; an allocation that fails is a RangeError, or an abort of the engine that names memory.
 * @param {unknown} error
 */
function codeOf(error) {
  if (error instanceof PhotoDecodeError) return error.code;
  return error instanceof RangeError || /memory|OOM/i.test(String(error)) ? 'no_room' : 'failed';
}

self.onmessage = async (/** @type {MessageEvent<Open | Read>} */ { data }) => {
  try {
    const answer = await (data.type === 'open' ? openPhoto(data) : readPlaces(data));
    self.postMessage({ answer });
  } catch (error) {
    self.postMessage({ error: { code: codeOf(error), message: String(error) } });
  }
};
