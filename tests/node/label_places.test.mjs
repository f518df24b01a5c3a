import assert from 'node:assert/strict';
import test from 'node:test';
import { labelPlaces } from '../../static/domain/table/label_places.js';

const SIZE = 300;

/** @param {...[number, number, string]} points */
const places = (...points) =>
  labelPlaces(
    points.map(([x, y, text]) => ({ x, y, text })),
    SIZE,
  ).map(({ y, anchor }) => [y, anchor]);

test('a name stands above its point, inwards at the edges', () => {
  assert.deepEqual(places([150, 150, 'Ada'], [20, 90, 'Ben'], [280, 220, 'Cleo']), [
    [140, 'middle'],
    [80, 'start'],
    [210, 'end'],
  ]);
});

test('names of one spot stand apart', () => {
  assert.deepEqual(
    places([150, 150, 'Ada'], [150, 150, 'Ben'], [150, 150, 'Cleo'], [152, 151, 'Dan']).map(([y]) => y),
    [140, 170, 124, 187],
  );
});

test('names side by side may share a line', () => {
  assert.deepEqual(
    places([100, 150, 'Ada'], [130, 150, 'Ben'], [120, 152, 'Eve']).map(([y]) => y),
    [140, 140, 172],
  );
});

test('letters as wide as high take their room', () => {
  assert.deepEqual(
    places([100, 150, '小林さくら'], [165, 150, 'パクミンス']).map(([y]) => y),
    [140, 170],
  );
  assert.deepEqual(
    places([100, 150, 'Sakura'], [165, 150, 'Minsu']).map(([y]) => y),
    [140, 140],
  );
});

test('a name at the top stands below its point', () => {
  assert.deepEqual(places([150, 8, 'Ada']), [[28, 'middle']]);
});

test('names that fit nowhere stand above their points', () => {
  const crowd = Array.from({ length: 40 }, () => /** @type {[number, number, string]} */ ([150, 150, 'Ada']));
  const found = places(...crowd).map(([y]) => y);
  assert.equal(found.length, 40);
  assert.equal(found.at(-1), 140);
});
