// The step of an address of the Pour screen.
import assert from 'node:assert/strict';
import test from 'node:test';
import { parseStep } from '../../static/domain/pour/tasting_steps.js';

test('an address names a step, the evidence or the note', () => {
  assert.deepEqual([undefined, 'first-nose', 'evidence'].map(parseStep), ['note', 'first_nose', 'evidence']);
  assert.deepEqual(['elsewhere', 'constructor', 'toString'].map(parseStep), ['note', 'note', 'note']);
});
