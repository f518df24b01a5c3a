import assert from 'node:assert/strict';
import test, { mock } from 'node:test';
import * as record from '../../static/store/record.js';
import { at, recordOf, someId } from './support.mjs';

test('a kind that is not known has a table of its own', () => {
  assert.equal(record.tableOf('bottle'), 'bottle');
  assert.equal(record.tableOf('hammer'), 'unknown_kind');
});

test('an empty record has nothing', () => {
  const id = someId();
  assert.deepEqual(record.emptyRecord('bottle', id), {
    kind: 'bottle',
    id,
    fields: {},
    clocks: {},
    deleted: false,
    deleted_clock: null,
  });
});

/**
 * @param {{ edited?: number, marked?: number | null, deleted?: boolean, value?: unknown }} what ms after NOW
 */
const recordWith = ({ edited, marked = null, deleted = true, value = 'a' }) =>
  recordOf(someId(), edited === undefined ? {} : { name: [value, at(edited)] }, {
    deleted,
    deleted_clock: marked === null ? null : at(marked),
  });

test('a record is deleted unless it was written later', () => {
  const cases = [
    [{ edited: 1, marked: 2 }, true],
    [{ edited: 2, marked: 2 }, true],
    [{ edited: 3, marked: 2 }, false],
    [{ edited: 1, marked: 2, deleted: false }, false],
    [{ edited: 1 }, true],
    [{ edited: 1, deleted: false }, false],
    [{ marked: 2 }, true],
  ];
  for (const [what, expected] of cases) {
    const stored = recordWith(/** @type {any} */ (what));
    assert.equal(record.isDeleted(stored), expected, JSON.stringify(what));
    assert.deepEqual(record.toRow(stored), { ...stored, gone: expected ? 1 : 0 });
  }
  const two = recordOf(someId(), { name: ['a', at(1)], note: ['b', at(3)] }, { deleted: true, deleted_clock: at(2) });
  assert.equal(record.isDeleted(two), false);
});

test('a record is emptied once no deleted value is left', () => {
  assert.equal(record.isEmptied(recordWith({ edited: 1, marked: 2, value: null })), true);
  assert.equal(record.isEmptied(recordWith({ edited: 1, marked: 2 })), false);
  assert.equal(record.isEmptied(recordWith({ marked: 2 })), false, 'it never had a value');
  assert.equal(record.isEmptied(recordWith({ edited: 3, marked: 2, value: null })), false, 'it was written again');
  const some = recordOf(someId(), { name: [null, at(1)], note: ['b', at(1)] }, { deleted: true, deleted_clock: at(2) });
  assert.equal(record.isEmptied(some), false);
});

test('revisions of a record have a name of their own', () => {
  assert.equal(record.revisionsName('bottle', 'x'), 'earlier:bottle:x');
});

test('an id is a UUID of version 7', () => {
  mock.timers.enable({ apis: ['Date'], now: 0x0192_f0c1_2a3b });
  const filled = mock.method(crypto, 'getRandomValues', (/** @type {Uint8Array} */ bytes) => bytes.fill(0xff));
  try {
    assert.equal(record.newId(), '0192f0c1-2a3b-7fff-bfff-ffffffffffff');
    filled.mock.mockImplementation((/** @type {Uint8Array} */ bytes) => bytes.fill(0));
    assert.equal(record.newId(), '0192f0c1-2a3b-7000-8000-000000000000');
    filled.mock.mockImplementation((/** @type {Uint8Array} */ bytes) =>
      bytes.map((_, place) => (bytes[place] = place)),
    );
    assert.equal(record.newId(), '0192f0c1-2a3b-7607-8809-0a0b0c0d0e0f');
  } finally {
    mock.timers.reset();
    mock.restoreAll();
  }
});

test('the first id of a time is that time in digits', () => {
  assert.equal(record.firstIdAt(0x0192_f0c1_2a3b), '0192f0c1-2a3b');
  assert.equal(record.firstIdAt(0), '00000000-0000');
});
