// What the chart of aromas says of each: nothing is gone that nobody asked about.
import assert from 'node:assert/strict';
import test from 'node:test';
import { AromaLine } from '../../static/domain/aroma_text.js';
import { evolution } from '../../static/rules/tasting/nose.js';
import { aromaCourse } from '../../static/features/pour/aromas/aroma_course.js';

/** @param {Record<string, string[]>} tasting */
function courses(tasting) {
  const found = evolution(tasting);
  return Object.fromEntries(found.words.map((aroma) => [aroma, aromaCourse(aroma, tasting, found)]));
}

test('an aroma is gone where another of its step is still there', () => {
  const found = courses({ first_nose_words: ['lemon', 'lime:2'], second_nose_words: ['lime:1', 'flint'] });
  assert.deepEqual(found, {
    lemon: { strengths: [0, null], change: 'faded' },
    lime: { strengths: [2, 1], change: 'stayed' },
    flint: { strengths: [null, 0], change: 'appeared' },
  });
});

test('an aroma that nobody asked about again is not gone', () => {
  const found = courses({ first_nose_words: ['lemon'], second_nose_words: ['flint'], sip_words: ['flint', 'salt'] });
  assert.deepEqual(found, {
    lemon: { strengths: [0, undefined, undefined], change: '' },
    flint: { strengths: [null, 0, 0], change: 'appeared' },
    salt: { strengths: [null, null, 0], change: 'appeared' },
  });
});

test('an aroma between others came and went', () => {
  const found = courses({ first_nose_words: ['rose'], sip_words: ['rose', 'tar'], sip_2_words: ['rose'] });
  assert.deepEqual(found['tar'], { strengths: [null, 0, null], change: 'passed' });
});

test('an aroma may return after a step that did not ask', () => {
  const found = courses({ first_nose_words: ['rose'], second_nose_words: ['tar'], sip_words: ['rose'] });
  assert.deepEqual(found['rose'], { strengths: [0, undefined, 0], change: 'stayed' });
});

test('the notebook lists as faded only what was asked about', () => {
  /** @param {string[]} entries @param {string[]} before */
  const said = (entries, before) => JSON.stringify(AromaLine({ entries, before }));
  assert.match(said(['lime', 'flint'], ['lemon', 'lime']), /book\.faded/);
  assert.doesNotMatch(said(['flint'], ['lemon', 'lime']), /book\.faded/);
});
