/*
 * Reads pictures with the client's own code and engine, under Node: a line of JSON for each picture.
 *
 *     node read.mjs label|list file...        (raw grayscale of 8 bits; the size is in the name: name.1800x2400.gray)
 */
import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { FILES } from '../../../static/label_photo/model.js';
import { readLabelLines, readListLines } from '../../../static/label_photo/read_photo.js';
import { findLines, readLines } from '../../../static/label_photo/recognize.js';
import { listRows } from '../../../static/rules/label_text/list.js';
import { createOCREngine } from '../../../static/vendor/tesseract/lib.js';

console.warn = () => {};
console.log = () => {};
const THIS_YEAR = 2026;
const vendored = (/** @type {string} */ url) =>
  gunzipSync(readFileSync(new URL(`../../../static${url}`, import.meta.url)));

const engine = await createOCREngine({ wasmBinary: vendored(FILES.program.url) });
engine.loadModel(vendored(FILES.model.url));

const [kind, ...files] = process.argv.slice(2);
for (const file of files) {
  const [, width = 0, height = 0] = (/\.(\d+)x(\d+)\.gray$/.exec(file) ?? []).map(Number);
  const photo = { data: new Uint8Array(readFileSync(file)), width, height };
  const started = process.cpuUsage();
  const found = findLines(photo, { inColumns: kind === 'list' });
  const read = (/** @type {number[]} */ places, /** @type {{ letterPx?: number, inRows?: boolean }} */ how) =>
    readLines(/** @type {any} */ (engine), found, places, how);
  let told;
  if (kind === 'list') {
    const lines = await readListLines(read, found.lines.length);
    told = { rows: listRows(lines, THIS_YEAR), lines: lines.map(({ text }) => text) };
  } else {
    const { lines, proposals } = await readLabelLines(read, found.lines.length, { thisYear: THIS_YEAR, market: null });
    told = {
      proposals,
      lines: lines.map(({ text, confidence }) => `${text} ${Math.round(confidence * 100)}`),
    };
  }
  const used = process.cpuUsage(started);
  const cpu_s = (used.user + used.system) / 1e6;
  process.stdout.write(`${JSON.stringify({ file, cpu_s, rss_mb: process.memoryUsage().rss / 1e6, ...told })}\n`);
}
