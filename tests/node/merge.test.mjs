import assert from 'node:assert/strict';
import test from 'node:test';
import { MergeError, merge } from '../../static/store/merge.js';
import { canonical, isEqual } from '../../static/store/canonical.js';
import { at, recordOf } from './support.mjs';

test('a merge of two records names the error', () => {
  const mine = recordOf('one', {});
  for (const theirs of [recordOf('two', {}), recordOf('one', {}, { kind: 'tasting' })]) {
    assert.throws(
      () => merge(mine, theirs),
      (error) =>
        error instanceof MergeError &&
        error.name === 'MergeError' &&
        error.code === 'other_record' &&
        error.message === 'other_record',
    );
  }
});

test('a merge changes neither side', () => {
  const mine = recordOf('one', { name: ['a', at(1)] });
  const theirs = recordOf('one', { name: ['b', at(2)] }, { deleted: true, deleted_clock: at(3) });
  const [before, beside] = [structuredClone(mine), structuredClone(theirs)];
  const { record } = merge(mine, theirs);
  assert.deepEqual([mine, theirs], [before, beside]);
  assert.deepEqual(record, recordOf('one', { name: ['b', at(2)] }, { deleted: true, deleted_clock: at(3) }));
  merge(null, theirs).record.fields.name = 'c';
  assert.deepEqual(theirs, beside);
});

test('a field without a value counts as not said', () => {
  const [mine, theirs] = [recordOf('one', { name: [null, at(1)] }), recordOf('one', { name: [null, at(1)] })];
  delete mine.fields.name;
  assert.deepEqual(merge(mine, theirs).revisions, []);
  delete theirs.fields.name;
  mine.fields.name = null;
  assert.equal(merge(mine, theirs).changed, false);
  const { record, revisions } = merge(recordOf('one', { name: ['a', at(0)] }), theirs);
  assert.deepEqual([record.fields, revisions], [{ name: null }, [{ field: 'name', value: 'a', clock: at(0) }]]);
});

test('a restored record stays restored', () => {
  const mine = recordOf('one', {}, { deleted: true, deleted_clock: at(1) });
  const theirs = recordOf('one', {}, { deleted: false, deleted_clock: at(2) });
  const { record, revisions, changed } = merge(mine, theirs);
  assert.deepEqual([record.deleted, record.deleted_clock, changed], [false, at(2), true]);
  assert.deepEqual(revisions, [{ field: 'deleted', value: true, clock: at(1) }]);
});

test('what was overruled is sorted by field', () => {
  const mine = recordOf('one', { b: [1, at(1)], c: [1, at(1)], a: [1, at(1)] });
  const theirs = recordOf('one', { c: [2, at(2)], a: [2, at(0)], b: [2, at(2)] });
  assert.deepEqual(
    merge(mine, theirs).revisions.map(({ field }) => field),
    ['a', 'b', 'c'],
  );
});

test('canonical text sorts keys at every depth', () => {
  assert.equal(canonical({ b: [1, { d: null, c: 'x' }], a: true }), '{"a":true,"b":[1,{"c":"x","d":null}]}');
  assert.equal(canonical([]), '[]');
});

test('values are the same by what they say', () => {
  assert.equal(isEqual({ a: 1, b: 2 }, { b: 2, a: 1 }), true);
  assert.equal(isEqual('a', 'b'), false);
  assert.equal(isEqual(['a'], ['a']), true);
  assert.equal(isEqual(undefined, undefined), true);
});
