// The piece of a photo that a value was read from, and the row of a list that a piece belongs to.
import assert from 'node:assert/strict';
import test from 'node:test';
import { pieceOf } from '../../static/domain/label_photo/photo_piece.js';
import { sourceOf } from '../../static/features/shelf/import/row_source.js';
import { guessColumns } from '../../static/features/shelf/import/guess_columns.js';
import { readFileSync } from 'node:fs';

/** @param {number} angle @param {number} [scale] @returns {any} */
const picture = (angle, scale = 1) => ({ bitmap: null, scale, angle });
const DEGREE = Math.PI / 180;

/** Return the upright box around a line of print. @param {number} width @param {number} height @param {number} angle */
function boxAround(width, height, angle) {
  const [cos, sin] = [Math.cos(angle), Math.abs(Math.sin(angle))];
  return { x: 100, y: 200, width: width * cos + height * sin, height: width * sin + height * cos };
}

test('the piece of a tilted line holds that line alone', () => {
  for (const degrees of [-12, -3, 0, 5, 15]) {
    const box = boxAround(600, 40, degrees * DEGREE);
    const piece = pieceOf(picture(degrees * DEGREE), box);
    assert.ok(Math.abs(piece.height - 60) <= 1 && Math.abs(piece.width - 620) <= 1, `${degrees} ${piece.height}`);
    assert.deepEqual([piece.x, piece.y], [100 + box.width / 2, 200 + box.height / 2]);
  }
});

test('a long line has more space around it', () => {
  const piece = pieceOf(picture(0), { x: 0, y: 0, width: 2000, height: 40 });
  assert.deepEqual([piece.width, piece.height], [2048, 88]);
});

test('a piece is as small as its bitmap', () => {
  const piece = pieceOf(picture(0, 0.5), { x: 100, y: 200, width: 300, height: 40 });
  assert.deepEqual(piece, { x: 125, y: 110, width: 160, height: 30 });
});

test('a box too flat for the tilt is shown whole', () => {
  const box = { x: 0, y: 0, width: 600, height: 40 };
  assert.deepEqual(pieceOf(picture(10 * DEGREE), box), pieceOf(picture(0), box));
});

/** @param {number} y @param {string} name @param {number | null} vintage @param {number} price @returns {any} */
const read = (y, name, vintage, price) => ({ name, vintage, price, box: { x: 0, y, width: 9, height: 9 } });

test('two vintages of a wine have each the place of their own row', () => {
  const lists = /** @type {any[]} */ ([
    { rows: [read(1, 'Barolo', 2016, 78), read(2, 'Barolo', 2017, 68)] },
    { rows: [read(3, 'Barolo', 2017, 99), read(4, 'Chablis', null, 30)] },
  ]);
  const place = (/** @type {any} */ bottle, /** @type {any} */ pick) => sourceOf(lists, { bottle, pick })?.box.y;
  assert.equal(place({ name: 'Barolo', vintage: 2016 }, { price: 78 }), 1);
  assert.equal(place({ name: 'Barolo', vintage: 2017 }, { price: 68 }), 2);
  assert.equal(place({ name: 'Barolo', vintage: 2017 }, { price: 99 }), 3);
  assert.equal(place({ name: 'Chablis' }, { price: 31 }), 4);
  assert.equal(place({ name: 'Rioja' }, {}), undefined);
});

test('a wine without vintage has the place of its own row', () => {
  const lists = /** @type {any[]} */ ([
    { rows: [read(1, 'Stone Ledge NV', null, 30), read(2, '"Ledge"  Brut', null, 9)] },
  ]);
  const place = (/** @type {any} */ bottle) => sourceOf(lists, { bottle, pick: {} })?.box.y;
  assert.equal(place({ name: 'Stone Ledge', non_vintage: true }), 1);
  assert.equal(place({ name: 'Ledge Brut' }), 2);
  assert.equal(place({ name: 'Stone' }), undefined);
  const dated = /** @type {any[]} */ ([{ rows: [read(1, 'Stone Ledge NV', 2019, 30)] }]);
  const bottle = /** @type {any} */ ({ name: 'Stone Ledge NV', vintage: 2019 });
  assert.equal(sourceOf(dated, { bottle, pick: {} })?.box.y, 1);
});

test('the headings of a read list are known in each language', () => {
  for (const language of ['en', 'fr', 'it']) {
    const words = (/** @type {string} */ file) =>
      JSON.parse(readFileSync(new URL(`../../static/words/${language}/${file}.json`, import.meta.url), 'utf8'));
    const { 'label_photo.glass': glass } = words('label_photo');
    const shelf = words('shelf');
    const cells = ['name', 'vintage', 'price', 'abv'].map((column) => shelf[`shelf.column_${column}`]);
    const found = guessColumns([
      { line: 1, cells: [...cells, glass] },
      { line: 2, cells: ['A', '2019', '9', '13', '7'] },
    ]);
    assert.deepEqual(found, { heading: true, columns: ['name', 'vintage', 'price', 'abv', 'note'] }, language);
  }
});
