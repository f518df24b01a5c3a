/** Compresses a request in pieces, because compressing it at once would block a slow phone. */

const PIECE_BYTES = 128 * 1024;

/**
 * @param {string} text
 * @returns {Promise<ArrayBuffer>} gzip
 */
export function gzip(text) {
  const blob = new Blob([text]);
  let at = 0;
  const pieces = new ReadableStream({
    async pull(controller) {
      await yieldToBrowser();
      controller.enqueue(new Uint8Array(await blob.slice(at, at + PIECE_BYTES).arrayBuffer()));
      at += PIECE_BYTES;
      if (at >= blob.size) controller.close();
    },
  });
  return new Response(pieces.pipeThrough(new CompressionStream('gzip'))).arrayBuffer();
}

/** Let the browser handle other tasks, such as input. */
function yieldToBrowser() {
  return new Promise((done) => {
    setTimeout(done);
  });
}
