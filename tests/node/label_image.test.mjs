// The pictures behind the label reader: light, lines, angles and sizes.
import assert from 'node:assert/strict';
import test from 'node:test';
import { composePage, boxOfSlot } from '../../static/label_photo/image/compose.js';
import { inkPieces } from '../../static/label_photo/image/components.js';
import { evenLight, lightOf, noiseOf } from '../../static/label_photo/image/even_light.js';
import { blur, boxInPicture, cutOut, halve, toGray, toRgba } from '../../static/label_photo/image/gray.js';
import { printLines } from '../../static/label_photo/image/lines.js';
import { pictureSize } from '../../static/label_photo/image/picture_size.js';
import { rowsOf } from '../../static/label_photo/image/rows.js';
import { lineAngle } from '../../static/label_photo/image/skew.js';

/**
 * Draw letters as blocks of strokes.
 * @param {{ width?: number, height?: number, ink?: number, paper?: number, degrees?: number, rows?: number[] }} [how]
 */
function print({ width = 600, height = 400, ink = 40, paper = 220, degrees = 0, rows = [80, 160, 240, 320] } = {}) {
  const data = new Uint8Array(width * height).fill(paper);
  const slope = Math.tan((degrees * Math.PI) / 180);
  for (const row of rows)
    for (let letter = 0; letter < 20; letter += 1)
      for (let dx = 0; dx < 12; dx += 1)
        for (let dy = 0; dy < 20; dy += 1) {
          const x = 80 + letter * 22 + dx;
          const y = Math.round(row + dy + (x - width / 2) * slope);
          // A stroke on each side and one across, as in H.
          const isStroke = dx < 3 || dx >= 9 || (dy >= 9 && dy < 12);
          if (isStroke && y >= 0 && y < height) data[y * width + x] = ink;
        }
  return { data, width, height };
}

/** @param {import('../../static/label_photo/image/gray.js').Gray} gray */
function linesIn(gray) {
  const light = lightOf(gray, 25);
  const even = evenLight(gray, light);
  return { light, even, lines: printLines(inkPieces(even), gray.height) };
}

test('lines are found on light and on dark labels', () => {
  for (const colours of [{}, { ink: 220, paper: 40 }, { ink: 60, paper: 100 }]) {
    const { lines } = linesIn(print(colours));
    assert.deepEqual(lines.length, 4);
    for (const line of lines) assert.ok(Math.abs(line.letter - 20) <= 2, String(line.letter));
  }
});

test('light that fades across the label does not hide lines', () => {
  const { data, width, height } = print();
  const faded = data.map((value, at) => value * (0.25 + (0.75 * (at % width)) / width));
  assert.equal(linesIn({ data: faded, width, height }).lines.length, 4);
});

test('paper without print has no lines', () => {
  const data = new Uint8Array(600 * 400).map((_, at) => 120 + ((at * 7919) % 7));
  assert.deepEqual(linesIn({ data, width: 600, height: 400 }).lines, []);
});

test('the angle of the lines is found', () => {
  for (const degrees of [-7, -2.5, 0, 3, 9]) {
    const { even } = linesIn(print({ degrees }));
    assert.ok(Math.abs((lineAngle(even) * 180) / Math.PI - degrees) <= 0.5, String(degrees));
  }
});

test('a line is set at the wanted size and found in the photo', () => {
  const photo = print();
  const { light, lines } = linesIn(photo);
  const cut = { x: 300, y: 200, width: 600, height: 400, angle: 0, scale: 1 };
  const { page, slots } = composePage(
    { photo, cut, piece: photo, light },
    lines.map((line) => [line]),
    40,
  );
  assert.equal(slots.length, 4);
  const [slot] = slots;
  assert.ok(slot);
  const pieces = inkPieces(page).filter(({ top }) => top >= slot.top && top < slot.bottom);
  assert.equal(pieces.length, 20);
  for (const { top, bottom } of pieces) assert.ok(Math.abs(bottom - top - 40) <= 4);
  const [first] = pieces.sort((a, b) => a.left - b.left);
  assert.ok(first);
  const box = boxInPicture(cut, boxOfSlot(slot, first));
  assert.ok(Math.abs(box.x - 80) <= 2 && Math.abs(box.y - 80) <= 3, JSON.stringify(box));
});

test('lines beside each other make a row, which is set as one line', () => {
  const photo = print({ rows: [80, 160] });
  // Take the middle of each line away, so that it falls into two.
  for (let y = 0; y < 400; y += 1) photo.data.fill(220, y * 600 + 240, y * 600 + 430);
  const { light, lines } = linesIn(photo);
  assert.equal(lines.length, 4);
  const rows = rowsOf(lines, [0, 1, 2, 3]);
  assert.deepEqual(
    rows.map((row) => row.map((at) => lines[at]?.left)),
    [
      [80, 432],
      [80, 432],
    ],
  );
  const cut = { x: 300, y: 200, width: 600, height: 400, angle: 0, scale: 1 };
  const set = rows.map((row) => row.map((at) => /** @type {any} */ (lines[at])));
  const { page, slots } = composePage({ photo, cut, piece: photo, light }, set, 40);
  const [first, second, below] = slots;
  assert.ok(first && second && below);
  assert.deepEqual([second.top, second.bottom, second.left], [first.top, first.bottom, first.right]);
  assert.ok(below.top >= first.bottom);
  // The gap between them is that of words, and a letter of the second is found where it stands in the photo.
  const letters = inkPieces(page)
    .filter(({ top }) => top < first.bottom)
    .sort((a, b) => a.left - b.left);
  assert.equal(letters.length, 12);
  const start = letters.find(({ left }) => left >= second.left);
  const end = letters.findLast(({ right }) => right <= first.right);
  assert.ok(start && end);
  assert.ok(start.left - end.right <= 40);
  const box = boxInPicture(cut, boxOfSlot(second, start));
  assert.ok(Math.abs(box.x - 432) <= 2 && Math.abs(box.y - 80) <= 3, JSON.stringify(box));
});

test('lines above each other are no row', () => {
  const line = (/** @type {number} */ left, /** @type {number} */ base) => ({
    left,
    right: left + 200,
    top: base - 20,
    bottom: base,
    letter: 20,
    base: /** @type {[number, number, number]} */ ([base, 0, 0]),
    up: 28,
    down: 8,
  });
  assert.deepEqual(rowsOf([line(0, 100), line(300, 130), line(50, 105)], [0, 1, 2]), [[0], [2], [1]]);
  assert.deepEqual(rowsOf([line(300, 104), line(0, 100), line(600, 96)], [0, 1, 2]), [[1, 0, 2]]);
});

test('a single digit is a line of print only in a column', () => {
  const photo = print({ rows: [80, 160, 240, 320] });
  // The first letters of the third line, and all but the last.
  for (let y = 235; y < 265; y += 1) photo.data.fill(220, y * 600 + 70, y * 600 + 490);
  const even = evenLight(photo, lightOf(photo, 25));
  assert.equal(printLines(inkPieces(even), 400).length, 3);
  const lines = printLines(inkPieces(even), 400, true);
  assert.deepEqual(
    lines.map(({ left }) => left),
    [80, 80, 498, 80],
  );
});

test('a turned piece keeps its place in the picture', () => {
  const cut = { x: 50, y: 40, width: 40, height: 20, angle: Math.PI / 2, scale: 2 };
  const box = boxInPicture(cut, { left: 0, top: 0, right: 40, bottom: 20 });
  assert.deepEqual(Object.fromEntries(Object.entries(box).map(([key, value]) => [key, Math.round(value)])), {
    x: 45,
    y: 30,
    width: 10,
    height: 20,
  });
  const spot = { data: new Uint8Array(100 * 80), width: 100, height: 80 };
  spot.data[40 * 100 + 50] = 255;
  const piece = cutOut(spot, { ...cut, x: 50.5, y: 40.5, width: 41, height: 21, scale: 1 });
  assert.equal(piece.data[10 * 41 + 20], 255);
});

test('noise is measured and blurred away', () => {
  let seed = 1;
  const random = () => ((seed = (seed * 48271) % 2147483647) / 2147483647) * 2 - 1;
  const data = new Uint8Array(200 * 200).map(() => 128 + (random() + random() + random()) * 10);
  const noisy = { data, width: 200, height: 200 };
  assert.ok(Math.abs(noiseOf(noisy) - 10) < 2, String(noiseOf(noisy)));
  assert.ok(noiseOf(blur(noisy)) < 5);
});

test('colours become grey and are halved', () => {
  const gray = toGray({ data: new Uint8Array([255, 255, 255, 255, 0, 0, 0, 255]), width: 2, height: 1 });
  assert.deepEqual([...gray.data], [255, 0]);
  assert.deepEqual([...toRgba(gray)], [255, 255, 255, 255, 0, 0, 0, 255]);
  assert.deepEqual([...halve(gray).data], [128]);
});

test('the size of a picture is read from its first bytes', () => {
  const bytes = (/** @type {number[]} */ first) => Uint8Array.from([...first, ...new Array(40).fill(0)]);
  const png = [
    0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10, 0, 0, 0, 13, 0x49, 0x48, 0x44, 0x52, 0, 0, 0x1f, 0x40, 0, 0, 1, 0,
  ];
  assert.deepEqual(pictureSize(bytes(png)), { width: 8000, height: 256 });
  const jpeg = [0xff, 0xd8, 0xff, 0xe0, 0, 4, 0, 0, 0xff, 0xc2, 0, 17, 8, 0x17, 0x70, 0x1f, 0x40];
  assert.deepEqual(pictureSize(bytes(jpeg)), { width: 8000, height: 6000 });
  assert.equal(pictureSize(bytes([0xff, 0xd8, 0, 0])), null);
  assert.equal(pictureSize(bytes([0x47, 0x49, 0x46])), null);
  assert.equal(pictureSize(new Uint8Array(3)), null);
});
