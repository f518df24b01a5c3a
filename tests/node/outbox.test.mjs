import assert from 'node:assert/strict';
import test from 'node:test';
import {
  requeue,
  toChange,
  toChanges,
  emptyEntry,
  hasChanges,
  entryOf,
  withRevisions,
  withoutConfirmed,
  withoutAcknowledged,
  revisionOf,
} from '../../static/store/outbox.js';
import { at, recordOf, saidOf, unsentOf } from './support.mjs';

const never = () => false;
const NOTHING = { fields: {}, clocks: {}, deleted: false, deleted_clock: null };

test('an empty row goes up next and says nothing', () => {
  assert.deepEqual(emptyEntry('bottle', 'one'), {
    kind: 'bottle',
    id: 'one',
    ...NOTHING,
    held: 0,
    errors: null,
    tries: 0,
    not_before_ms: 0,
  });
  assert.equal(hasChanges(emptyEntry('bottle', 'one')), false);
});

test('a whole record is unconfirmed in all it says', () => {
  const record = recordOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(2) });
  assert.deepEqual(entryOf({ ...record, gone: 1 }), { ...emptyEntry('bottle', 'one'), ...record });
  assert.deepEqual(requeue(record, undefined), entryOf(record));
});

test('an unconfirmed record keeps what its row said', () => {
  const record = recordOf(
    'one',
    { name: ['new', at(5)], region: ['r', at(3)] },
    { deleted_clock: at(4), deleted: true },
  );
  const earlier = [saidOf({ name: ['older', at(1)] })];
  const before = unsentOf(
    'one',
    { name: ['old', at(2)], region: ['r', at(3)] },
    { deleted_clock: at(4), deleted: true, earlier, tries: 3 },
  );
  assert.deepEqual(requeue(record, before), {
    ...entryOf(record),
    earlier: [...earlier, saidOf({ name: ['old', at(2)] })],
  });
});

test('an unconfirmed record keeps an overruled deletion', () => {
  const record = recordOf('one', {}, { deleted: false, deleted_clock: at(4) });
  const before = unsentOf('one', {}, { deleted: true, deleted_clock: at(3) });
  assert.deepEqual(requeue(record, before).earlier, [{ ...NOTHING, deleted: true, deleted_clock: at(3) }]);
});

test('a row that says what its record says adds nothing', () => {
  const record = recordOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(2) });
  const before = unsentOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(2) });
  assert.deepEqual(requeue(record, before), entryOf(record));
});

test('a change on the wire has no state of the row', () => {
  const row = unsentOf('one', { name: ['a', at(1)] }, { held: 1, tries: 2, deleted: true, deleted_clock: at(2) });
  assert.deepEqual(toChange(row), recordOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(2) }));
});

test('earlier values go on the wire before the row', () => {
  const first = saidOf({ name: ['a', at(1)] });
  const second = saidOf({ name: ['b', at(2)] });
  const row = unsentOf('one', { name: ['c', at(3)] }, { earlier: [first, second] });
  assert.deepEqual(toChanges(row), [
    recordOf('one', { name: ['a', at(1)] }),
    recordOf('one', { name: ['b', at(2)] }),
    recordOf('one', { name: ['c', at(3)] }),
  ]);
  assert.deepEqual(toChanges(unsentOf('one', {}, { earlier: [first] })), [recordOf('one', { name: ['a', at(1)] })]);
  assert.equal(hasChanges(unsentOf('one', {}, { earlier: [first] })), true);
});

test('a row with one field or one deletion says something', () => {
  assert.equal(hasChanges(unsentOf('one', { name: ['a', at(1)] })), true);
  assert.equal(hasChanges(unsentOf('one', {}, { deleted_clock: at(1) })), true);
});

test('a row has earlier values only where there are some', () => {
  const row = unsentOf('one', { name: ['a', at(1)] });
  const said = [saidOf({ name: ['b', at(0)] })];
  assert.deepEqual(withRevisions(row, said), { ...row, earlier: said });
  assert.deepEqual(withRevisions({ ...row, earlier: said }, []), row);
});

test('a row is done when all of it was sent', () => {
  const row = unsentOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(2) });
  assert.equal(withoutAcknowledged(row, toChange(row)), null);
});

test('a row is done when more than it says was sent', () => {
  const row = unsentOf('one', { name: ['a', at(1)] });
  assert.equal(
    withoutAcknowledged(row, recordOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(2) })),
    null,
  );
});

test('a row keeps what was said after it was sent', () => {
  const sent = recordOf('one', { name: ['a', at(1)], region: ['r', at(1)] }, { deleted: true, deleted_clock: at(1) });
  const row = unsentOf(
    'one',
    { name: ['b', at(2)], region: ['r', at(1)] },
    { deleted: true, deleted_clock: at(1), tries: 4 },
  );
  assert.deepEqual(withoutAcknowledged(row, sent), unsentOf('one', { name: ['b', at(2)] }, { tries: 4 }));
  const restored = unsentOf('one', { region: ['r', at(1)] }, { deleted: false, deleted_clock: at(3) });
  assert.deepEqual(withoutAcknowledged(restored, sent), unsentOf('one', {}, { deleted: false, deleted_clock: at(3) }));
  const again = unsentOf('one', {}, { deleted: true, deleted_clock: at(3) });
  assert.deepEqual(withoutAcknowledged(again, sent), again);
});

test('a row keeps its earlier values when it was sent', () => {
  const earlier = saidOf({ name: ['a', at(1)] });
  const row = unsentOf('one', { name: ['b', at(2)] }, { earlier: [earlier] });
  const left = withoutAcknowledged(row, recordOf('one', { name: ['b', at(2)] }));
  assert.deepEqual(left, { ...unsentOf('one', {}), earlier: [earlier] });
  assert.deepEqual(toChanges(left), [recordOf('one', { name: ['a', at(1)] })]);
  const deletion = unsentOf('one', {}, { deleted: true, deleted_clock: at(2), earlier: [earlier] });
  assert.deepEqual(withoutAcknowledged(deletion, recordOf('one', {}, { deleted: true, deleted_clock: at(2) })), {
    ...unsentOf('one', {}),
    earlier: [earlier],
  });
});

test('a row loses the earlier value that was sent', () => {
  const [first, second] = [saidOf({ name: ['a', at(1)] }), saidOf({ name: ['b', at(2)] })];
  const row = unsentOf('one', { name: ['c', at(3)] }, { earlier: [first, second] });
  const left = withoutAcknowledged(row, recordOf('one', { name: ['a', at(1)] }));
  assert.deepEqual(left, { ...unsentOf('one', { name: ['c', at(3)] }), earlier: [second] });
});

test('a value without text is left as not said', () => {
  const row = unsentOf('one', { name: ['a', at(1)] });
  delete row.fields.name;
  assert.deepEqual(withoutAcknowledged(row, recordOf('one', {})).fields, { name: null });
});

test('a value that the server shows is done', () => {
  const row = unsentOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(2) });
  assert.equal(withoutConfirmed(row, toChange(row)), null);
  const silent = unsentOf('one', { name: [null, at(1)] });
  delete silent.fields.name;
  assert.equal(withoutConfirmed(silent, recordOf('one', { name: [null, at(1)] })), null);
  const theirs = recordOf('one', { name: [null, at(1)] });
  delete theirs.fields.name;
  assert.equal(withoutConfirmed(unsentOf('one', { name: [null, at(1)] }), theirs), null);
});

test('another value under the same clock is not done', () => {
  const row = unsentOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(2) });
  assert.deepEqual(
    withoutConfirmed(row, recordOf('one', { name: ['b', at(1)] }, { deleted: true, deleted_clock: at(2) })),
    unsentOf('one', { name: ['a', at(1)] }),
  );
  assert.deepEqual(
    withoutConfirmed(row, recordOf('one', { name: ['a', at(1)] }, { deleted: false, deleted_clock: at(2) })),
    unsentOf('one', {}, { deleted: true, deleted_clock: at(2) }),
  );
});

test('the same value under another clock is not done', () => {
  const row = unsentOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(2) });
  assert.deepEqual(
    withoutConfirmed(row, recordOf('one', { name: ['a', at(3)] }, { deleted: true, deleted_clock: at(3) })),
    row,
  );
});

test('an earlier value that the server shows is done', () => {
  const earlier = [saidOf({ name: ['a', at(1)] }), saidOf({ name: ['b', at(2)] })];
  const row = unsentOf('one', { name: ['c', at(3)] }, { earlier });
  assert.deepEqual(withoutConfirmed(row, recordOf('one', { name: ['b', at(2)] })), { ...row, earlier: [earlier[0]] });
});

test('a value that is written over is kept', () => {
  const row = unsentOf('one', { name: ['a', at(1)], region: ['r', at(1)] }, { deleted: true, deleted_clock: at(1) });
  const said = { fields: { name: 'b' }, clocks: { name: at(2) } };
  assert.deepEqual(revisionOf(row, said, never), saidOf({ name: ['a', at(1)] }));
  assert.deepEqual(revisionOf(row, { deleted: false, deleted_clock: at(2) }, never), {
    ...NOTHING,
    deleted: true,
    deleted_clock: at(1),
  });
  assert.equal(revisionOf(row, {}, never), null);
});

test('a value under the same clock is not written over', () => {
  const row = unsentOf('one', { name: ['a', at(1)] }, { deleted: true, deleted_clock: at(1) });
  assert.equal(revisionOf(row, { clocks: { name: at(1) }, deleted_clock: at(1) }, never), null);
  assert.equal(revisionOf(unsentOf('one', {}), { clocks: { name: at(1) }, deleted_clock: at(1) }, never), null);
});

test('a draft that is written over is not kept', () => {
  const row = unsentOf('one', { name: ['a', at(1)], region: ['r', at(0)] }, { deleted: true, deleted_clock: at(1) });
  const said = { clocks: { name: at(2), region: at(2) }, deleted_clock: at(2) };
  assert.deepEqual(
    revisionOf(row, said, (clock) => clock === at(1)),
    saidOf({ region: ['r', at(0)] }),
  );
});

test('a refused value that is written over is not kept', () => {
  const errors = { name: [{ code: 'too_long' }] };
  const row = unsentOf('one', { name: ['a', at(1)], region: ['r', at(1)] }, { errors });
  assert.deepEqual(
    revisionOf(row, { clocks: { name: at(2), region: at(2) } }, never),
    saidOf({ region: ['r', at(1)] }),
  );
});
