// Spat or swallowed, in one tap or as an amount.
import assert from 'node:assert/strict';
import test from 'node:test';
import { hasAnswers } from '../../static/domain/pour/tasting_steps.js';
import { fieldsOfAmount, fieldsOfChoice, swallowedChoice } from '../../static/domain/intake/swallowed.js';

test('a tap is stored with the amount that follows from it', () => {
  assert.deepEqual(fieldsOfChoice('spat', 50), { spat: true, swallowed_ml: 0 });
  assert.deepEqual(fieldsOfChoice('spat', null), { spat: true, swallowed_ml: 0 });
  assert.deepEqual(fieldsOfChoice('all', 50), { spat: false, swallowed_ml: 50 });
  assert.deepEqual(fieldsOfChoice('all', undefined), { spat: false, swallowed_ml: null });
  assert.deepEqual(fieldsOfChoice('half', 50), { spat: null, swallowed_ml: 25 });
  assert.deepEqual(fieldsOfChoice(null, 50), { spat: null, swallowed_ml: null });
});

test('an amount says whether the wine was spat or swallowed', () => {
  assert.deepEqual(fieldsOfAmount(0, 50), { swallowed_ml: 0, spat: true });
  assert.deepEqual(fieldsOfAmount(20, 50), { swallowed_ml: 20, spat: null });
  assert.deepEqual(fieldsOfAmount(50, 50), { swallowed_ml: 50, spat: false });
  assert.deepEqual(fieldsOfAmount(20, null), { swallowed_ml: 20, spat: null });
  assert.deepEqual(fieldsOfAmount(null, 50), { swallowed_ml: null, spat: null });
});

test('what was tapped is shown again', () => {
  for (const choice of /** @type {const} */ (['spat', 'half', 'all']))
    assert.equal(swallowedChoice({ pour_ml: 50, ...fieldsOfChoice(choice, 50) }), choice);
  for (const choice of /** @type {const} */ (['spat', 'all']))
    assert.equal(swallowedChoice(fieldsOfChoice(choice, null)), choice);
  assert.equal(swallowedChoice({ swallowed_ml: 20, pour_ml: 50, spat: false }), null);
  assert.equal(swallowedChoice({}), null);
});

test('notes from before the tap are read by their amount', () => {
  assert.equal(swallowedChoice({ swallowed_ml: 0 }), 'spat');
  assert.equal(swallowedChoice({ swallowed_ml: 30, pour_ml: 30 }), 'all');
  assert.equal(swallowedChoice({ swallowed_ml: 30 }), null);
});

test('a tap on spat or swallowed answers no step', () => {
  for (const choice of ['spat', 'all']) {
    const tasting = { pour_ml: 50, ...fieldsOfChoice(choice, 50) };
    for (const step of ['whole', 'verdict']) assert.equal(hasAnswers(step, { tasting, bottle: {} }), false);
    assert.equal(hasAnswers('verdict', { tasting: { ...tasting, liking: 7 }, bottle: {} }), true);
  }
});
