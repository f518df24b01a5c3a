// Product codes: their lengths, and the shop's own behind a packing level.
import assert from 'node:assert/strict';
import test from 'node:test';
import { gtinInStore, gtinValid } from '../../static/rules/label/product_codes.js';

test('a right check digit needs a right length', () => {
  assert.equal(gtinValid('4006381333931'), true);
  assert.equal(gtinValid('00017'), false);
  assert.equal(gtinValid(4006381333931), false);
});

test('a number of a shop has its prefix after the packing level', () => {
  assert.equal(gtinInStore('10200000000001'), true);
  assert.equal(gtinInStore('4006381333931'), false);
});
