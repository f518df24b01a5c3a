// Talks to the worker: one photo, then any number of readings of its lines.
import { scriptUrl } from '../lib/script_url.js';
import { LabelPhotoError, throwIfStopped } from './errors.js';
import { storedFiles } from './model.js';

/** @typedef {import('./recognize.js').ReadLine} ReadLine */
/**
 * @typedef {{ width: number, height: number, barcodes: ImageData, angle: number, lines: number }} Opened `angle`: of
 *   the lines of print, clockwise, in radians; `lines`: number of lines
 */

export class Reader {
  #worker;
  #signal;
  #stop;
  /** @type {((error: LabelPhotoError) => void) | null} */
  #fail = null;
  /** @type {LabelPhotoError | null} why it ended, perhaps before anything was asked */
  #ended = null;
  #watch = new AbortController();

  /** @param {AbortSignal | undefined} signal */
  constructor(signal) {
    throwIfStopped(signal);
    this.#worker = new Worker(scriptUrl('/label_photo/worker.js'), { type: 'module' });
    this.#signal = signal;
    this.#stop = () => this.#end(new LabelPhotoError('stopped', signal?.reason));
    signal?.addEventListener('abort', this.#stop);
    this.#worker.addEventListener('error', (event) => this.#end(new LabelPhotoError('failed', event.message)));
  }

  /**
   * @param {Blob} photo
   * @param {{ inColumns?: boolean }} [how] see findLines() in static/label_photo/recognize.js
   * @returns {Promise<Opened>}
   */
  async open(photo, how) {
    const files = await storedFiles();
    if (!files) throw new LabelPhotoError('no_model');
    const lock = `label-photo-${crypto.randomUUID?.() ?? Math.random()}`;
    return this.#ask({ type: 'open', photo, lock, ...files, ...how });
  }

  /**
   * @param {number[]} places of the lines to read
   * @param {{ letterPx?: number, inRows?: boolean }} [how] see readLines() in static/label_photo/recognize.js
   * @returns {Promise<ReadLine[]>}
   */
  read(places, how) {
    return this.#ask({ type: 'read', places, ...how });
  }

  /** End the worker, with which its memory goes. */
  close() {
    this.#watch.abort();
    this.#worker.terminate();
    this.#signal?.removeEventListener('abort', this.#stop);
  }

  /** @param {LabelPhotoError} error */
  #end(error) {
    this.close();
    this.#ended ??= error;
    this.#fail?.(error);
  }

  /**
   * Fail if the worker ends, for example because the phone ran out of memory, of which no event tells everywhere.
   * @param {string} lock that the worker holds
   */
  #watchFor(lock) {
    navigator.locks
      ?.request(lock, { signal: this.#watch.signal }, () => this.#end(new LabelPhotoError('failed', 'worker ended')))
      .catch(() => {});
  }

  /** @param {object} message @returns {Promise<any>} */
  #ask(message) {
    return new Promise((resolve, reject) => {
      const ended = this.#signal?.aborted ? new LabelPhotoError('stopped', this.#signal.reason) : this.#ended;
      if (ended) {
        reject(ended);
        return;
      }
      this.#fail = reject;
      this.#worker.onmessage = ({ data: { holds, answer, error } }) => {
        if (holds) this.#watchFor(holds);
        else if (error) reject(new LabelPhotoError(error.code, error.message));
        else resolve(answer);
      };
      this.#worker.postMessage(message);
    });
  }
}
