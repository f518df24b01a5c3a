/** Compresses a request piece by piece: in one go it would hold up the page's own work on a slow phone. */

const PIECE_BYTES = 128 * 1024;

/**
 * @param {string} text
 * @returns {Promise<ArrayBuffer>} gzip
 */
export function gzip(text) {
  const whole = new Blob([text]);
  let at = 0;
  const pieces = new ReadableStream(
    {
      async pull(controller) {
        await yieldToBrowser();
        controller.enqueue(new Uint8Array(await whole.slice(at, at + PIECE_BYTES).arrayBuffer()));
        at += PIECE_BYTES;
        if (at >= whole.size) controller.close();
      },
    },
    { highWaterMark: 0 },
  );
  return new Response(pieces.pipeThrough(new CompressionStream('gzip'))).arrayBuffer();
}

/** Lets the browser do whatever else waits, such as a tap. */
function yieldToBrowser() {
  return new Promise((done) => {
    setTimeout(done);
  });
}
