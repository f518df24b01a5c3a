// Who of the company is named as not counted: those whose palate is not on this phone.
import assert from 'node:assert/strict';
import test from 'node:test';
import './english.mjs';
import { uncounted } from '../../static/features/shelf/list/company_state.js';
import { palate } from '../../static/store/palate_cache.js';

test('only who has no palate on this phone is not counted', () => {
  assert.deepEqual(uncounted.value, ['Me']);
  palate.value = { compact: {} };
  assert.deepEqual(uncounted.value, []);
});
