/** Compresses a request in pieces, because compressing it at once would block a slow phone. */

const PIECE_BYTES = 128 * 1024;

/**
 * @param {string} text
 * @returns {Promise<ArrayBuffer>} gzip
 */
export function gzip(text) {
  return startGzip(text)('');
}

/**
 * Start to compress a text whose end is not known yet.
 * @param {string} text
 * @returns {(end: string) => Promise<ArrayBuffer>} gzip of the text and this end
 */
export function startGzip(text) {
  /** @type {(end: string) => void} */
  let finish = () => {};
  const ending = new Promise((/** @type {(end: string) => void} */ done) => {
    finish = done;
  });
  const blob = new Blob([text]);
  let at = 0;
  const pieces = new ReadableStream({
    async pull(controller) {
      await yieldToBrowser();
      controller.enqueue(new Uint8Array(await blob.slice(at, at + PIECE_BYTES).arrayBuffer()));
      at += PIECE_BYTES;
      if (at < blob.size) return;
      controller.enqueue(new TextEncoder().encode(await ending));
      controller.close();
    },
  });
  const packed = new Response(pieces.pipeThrough(new CompressionStream('gzip'))).arrayBuffer();
  // Who awaits it is told of a failure; a request that is never sent has nobody to tell.
  packed.catch(() => {});
  return (end) => {
    finish(end);
    return packed;
  };
}

/** Let the browser handle other tasks, such as input. */
function yieldToBrowser() {
  return new Promise((done) => {
    setTimeout(done);
  });
}
