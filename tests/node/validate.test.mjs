// What a write refuses; each field's rule is in tests/vectors/record.json.
import assert from 'node:assert/strict';
import test from 'node:test';
import aromas from '../../static/spec/aromas.json' with { type: 'json' };
import { ValidationError, assertValid, validateFields } from '../../static/store/validate.js';
import { validatorFor } from '../../static/store/validators.js';

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

test('one invalid field is enough', () => {
  assert.throws(() => assertValid('tasting', { body: 11 }), { name: 'ValidationError', code: 'bad_fields' });
});

test('a number is finite', () => {
  for (const value of [NaN, Infinity, '12'])
    assert.deepEqual(validateFields('bottle', { label_abv: value }), { label_abv: [{ code: 'not_number' }] });
});

test('an aroma may have its other name', () => {
  const [name] = Object.keys(aromas.same_as);
  assert.deepEqual(validateFields('tasting', { first_nose_words: [name] }), {});
});

test('a type or vocabulary that does not exist is an error', () => {
  assert.throws(() => validatorFor({ type: 'moon' }), /names the type moon, which has no check/);
  assert.throws(() => validatorFor({ type: 'choice', of: 'moon' }), /vocabulary moon, which does not exist/);
});
