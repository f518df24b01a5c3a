import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import test from 'node:test';
import { qrPath } from '../../static/lib/qr_draw.js';
import { prepareZXingModule, readBarcodes } from '../../static/vendor/zxing/reader/index.js';

const SCALE = 4;

/** @param {{ size: number, path: string }} code @returns {any} an image as a canvas returns it */
function imageOf({ size, path }) {
  const width = size * SCALE;
  const data = new Uint8ClampedArray(width * width * 4).fill(255);
  for (const [, x = 0, y = 0, length = 0] of path.matchAll(/M(\d+) (\d+)h(\d+)v1h-\3z/g)) {
    for (let py = Number(y) * SCALE; py < (Number(y) + 1) * SCALE; py += 1) {
      for (let px = Number(x) * SCALE; px < (Number(x) + Number(length)) * SCALE; px += 1) {
        data.fill(0, (py * width + px) * 4, (py * width + px) * 4 + 3);
      }
    }
  }
  return { data, width, height: width, colorSpace: 'srgb' };
}

test('the vendored reader reads what is drawn', async () => {
  const wasm = await readFile(new URL('../../static/vendor/zxing/zxing_reader.wasm', import.meta.url));
  prepareZXingModule({ overrides: { wasmBinary: /** @type {any} */ (wasm) }, fireImmediately: true });
  for (const text of ['https://192.168.1.20:8000/#/guest/q7-_Zz0aB', 'SN1:0/3:BASE45 $%*+-./:', 'déjà vu, 東京']) {
    const read = await readBarcodes(imageOf(qrPath(text)), { formats: ['QRCode'] });
    assert.deepEqual(
      read.map((one) => one.text),
      [text],
    );
  }
});

test('capital letters and digits take fewer modules', () => {
  assert.ok(qrPath('A'.repeat(100)).size < qrPath('a'.repeat(100)).size);
});
