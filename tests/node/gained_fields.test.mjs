// How a bottle that gains fields is saved.
import assert from 'node:assert/strict';
import test from 'node:test';
import { gainEdits } from '../../static/domain/bottle/gained_fields.js';

test('a bottle is saved only if it gains something', () => {
  assert.deepEqual(gainEdits('b', { region: 'Loire' }), [{ kind: 'bottle', id: 'b', fields: { region: 'Loire' } }]);
  assert.deepEqual(gainEdits('b', {}), []);
});
