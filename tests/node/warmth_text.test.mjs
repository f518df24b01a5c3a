import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { WarmthEvidence } from '../../static/domain/evidence/sections.js';

/** @param {string} label_market @param {Record<string, unknown>} tasting @param {number} [label_abv] */
function summary(label_market, tasting, label_abv = 13) {
  const bottle = { label_market, label_abv, kind: 'still' };
  return /** @type {any} */ (WarmthEvidence({ tasting, bottle, style: null })).props.summary;
}

test('warmth is compared with the margin that a law sets', () => {
  assert.match(summary('ZA', { warmth: 8 }), /within the label’s margin/);
  assert.match(summary('EU', { warmth: 10 }), /than the label’s margin allows/);
});

test('a margin that no law sets is not said to be the label’s', () => {
  assert.match(
    summary('CL', { warmth: 8 }),
    /^Feels stronger than the printed number, but within the margin we assume/,
  );
  assert.match(
    summary('CL', { warmth: 10 }),
    /^Feels stronger than the printed number, even with the margin we assume/,
  );
  assert.match(summary('CL', { warmth: 0 }, 14), /^Feels weaker.* but within the margin we assume/);
  assert.match(summary('CL', { warmth: 0 }, 16), /^Feels weaker.* even with the margin we assume/);
  assert.equal(summary('CL', { warmth: 6 }), 'The alcohol you feel fits the label.');
});
