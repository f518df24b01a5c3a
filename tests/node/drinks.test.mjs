// Volumes and strengths at the low end of what a pour can have.
import assert from 'node:assert/strict';
import test from 'node:test';
import { visitTally } from '../../static/rules/label/drinks.js';

test('a drop that is not said to be swallowed is poured', () => {
  const found = visitTally([{ pour_ml: 0.5, label_abv: 0.5 }], 'AU');
  assert.equal(found.poured.ml, 0.5);
  assert.equal(found.swallowed_not_said, 1);
});
