// What a write refuses; each field's rule is in tests/vectors/record.json.
import assert from 'node:assert/strict';
import test from 'node:test';
import { ValidationError, assertValid, validateFields } from '../../static/store/validate.js';

test('valid fields pass', () => {
  assertValid('tasting', {});
  assertValid('tasting', { body: 4, place: undefined, words: null });
});

test('invalid fields are all named in one error', () => {
  const errors = { body: [{ code: 'too_high', bound: 10 }], liking: [{ code: 'not_integer' }] };
  assert.throws(
    () => assertValid('tasting', { body: 11, liking: 1.5, place: 'home' }),
    (error) => {
      assert.ok(error instanceof ValidationError);
      assert.equal(error.code, 'bad_fields');
      assert.deepEqual(error.errors, errors);
      return true;
    },
  );
});

test('undefined is an absent value', () => {
  assert.deepEqual(validateFields('tasting', { body: undefined }), {});
});

test('a kind that the spec does not name is refused', () => {
  assert.throws(() => validateFields('moon', {}), { code: 'unknown_kind' });
});
