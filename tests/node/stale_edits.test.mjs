// What of an edit is still the latest, and what goes to the revisions (static/store/stale_edits.js).
import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import { splitStale } from '../../static/store/stale_edits.js';
import { db } from '../../static/store/database.js';
import { commitEdits } from '../../static/store/write.js';
import { DEVICE, OTHER, at, emptyBook, recordOf, saidOf, setTiming, someId, unsentOf } from './support.mjs';

const SINCE = at(2, OTHER);
/** The time of the edit, by this phone. */
const THEN = at(2);
const STAMP = at(9);

/** @param {any} record @param {any} edit */
const split = (record, edit) => splitStale(record, { kind: 'bottle', id: record.id, ...edit }, STAMP);

/** @param {Record<string, any>} said @param {any} [more] */
const held = (said, more) => recordOf(someId(), said, more);

const none = { deleted: false, deleted_clock: null };

test('an edit without an age is the latest', () => {
  const record = held({ name: ['a', at(1)] }, { deleted: true, deleted_clock: at(3) });
  const edit = { kind: /** @type {const} */ ('bottle'), id: record.id, fields: { name: 'b' }, deleted: false };
  assert.deepEqual(splitStale(record, edit, STAMP), { open: edit, past: null, record });
});

test('fields that nobody wrote since are the latest', () => {
  const record = held({ name: ['a', SINCE] });
  assert.deepEqual(split(record, { since: SINCE, fields: { name: 'b', region: null } }), {
    open: { fields: { name: 'b', region: null }, deleted: undefined },
    past: null,
    record,
  });
});

test('fields written since go to the revisions', () => {
  const record = held({ name: ['a', at(3)], region: ['r', at(1)], note: ['n', at(3)] });
  const {
    open,
    past,
    record: merged,
  } = split(record, { since: SINCE, fields: { name: 'b', region: 's', note: undefined } });
  assert.deepEqual(open, { fields: { region: 's' }, deleted: undefined });
  assert.deepEqual(past, { fields: { name: 'b', note: null }, clocks: { name: THEN, note: THEN }, ...none });
  assert.deepEqual(merged.fields, record.fields);
});

test('an equal value is no revision', () => {
  const record = held({ name: ['a', at(3)], region: [null, at(3)], grapes: ['g', at(3)] });
  delete record.fields.region;
  for (const region of [null, undefined]) {
    const { past } = split(record, { since: SINCE, fields: { name: 'a', region } });
    assert.equal(past, null);
  }
  const { past } = split(record, { since: SINCE, fields: { name: 'a', grapes: 'h' } });
  assert.deepEqual(past?.fields, { grapes: 'h' });
});

test('an edit of a fresh notebook is older than all clocks', () => {
  const { past } = split(held({ name: ['a', at(1)] }), { since: '', fields: { name: 'b' } });
  assert.deepEqual(past?.clocks, { name: `0000000000000-0000-${DEVICE}` });
});

test('a field of a record that was deleted since is past', () => {
  const record = held({ name: ['a', at(1)] }, { deleted: true, deleted_clock: at(3) });
  const { open, past } = split(record, { since: SINCE, fields: { name: 'b' } });
  assert.deepEqual(open, { fields: {}, deleted: undefined });
  assert.deepEqual(past, { fields: { name: 'b' }, clocks: { name: THEN }, ...none });
});

test('a field of a record that was deleted before is the latest', () => {
  const record = held({ name: ['a', at(1)] }, { deleted: true, deleted_clock: at(1) });
  assert.deepEqual(split(record, { since: SINCE, fields: { name: 'b' } }).open.fields, { name: 'b' });
});

test('a field of a record that was restored since is the latest', () => {
  const record = held({ name: ['a', at(1)] }, { deleted: false, deleted_clock: at(3) });
  assert.deepEqual(split(record, { since: SINCE, fields: { name: 'b' } }).open.fields, { name: 'b' });
});

test('a deletion of what was restored since goes to the revisions', () => {
  const record = held({ name: ['a', at(1)] }, { deleted: false, deleted_clock: at(3) });
  const { open, past, record: merged } = split(record, { since: SINCE, deleted: true });
  assert.deepEqual(open, { fields: {}, deleted: undefined });
  assert.deepEqual(past, { fields: {}, clocks: {}, deleted: true, deleted_clock: THEN });
  assert.deepEqual([merged.deleted, merged.deleted_clock], [false, at(3)]);
});

test('a restoring of what was deleted since goes to the revisions', () => {
  const record = held({ name: ['a', at(1)] }, { deleted: true, deleted_clock: at(3) });
  const { open, past } = split(record, { since: SINCE, deleted: false });
  assert.equal(open.deleted, undefined);
  assert.deepEqual(past, { fields: {}, clocks: {}, deleted: false, deleted_clock: THEN });
});

test('a deletion of what was edited since goes to the revisions', () => {
  const record = held({ name: ['a', at(3)], region: ['r', at(1)] });
  const { open, past } = split(record, { since: SINCE, deleted: true });
  assert.equal(open.deleted, undefined);
  assert.deepEqual(past, { fields: {}, clocks: {}, deleted: true, deleted_clock: THEN });
});

test('a restoring of what was edited since is the latest', () => {
  const record = held({ name: ['a', at(3)] }, { deleted: true, deleted_clock: at(1) });
  assert.deepEqual(split(record, { since: SINCE, deleted: false }).open, { fields: {}, deleted: false });
});

test('a mark that was set since alike is no revision', () => {
  const record = held({ name: ['a', at(1)] }, { deleted: true, deleted_clock: at(3) });
  assert.equal(split(record, { since: SINCE, deleted: true }).past, null);
  const { past } = split(record, { since: SINCE, deleted: true, fields: { name: 'b' } });
  assert.deepEqual(past, { fields: { name: 'b' }, clocks: { name: THEN }, ...none });
});

beforeEach(async () => {
  setTiming({});
  await emptyBook();
});

test('past values are sent as revisions, after earlier ones', async () => {
  const record = held({ name: ['a', at(3)] });
  await db.bottle.put({ ...record, gone: 0 });
  const earlier = [saidOf({ name: ['first', at(0)] })];
  await db.outbox.put(unsentOf(record.id, { name: ['a', at(3)] }, { earlier }));
  await commitEdits([{ kind: 'bottle', id: record.id, since: SINCE, fields: { name: 'b' } }], splitStale);
  const past = saidOf({ name: ['b', THEN] });
  assert.deepEqual((await db.outbox.get(record.id)).earlier, [...earlier, past]);
  assert.deepEqual((await db.bottle.get(record.id)).fields, { name: 'a' });
  const sent = held({ name: ['a', at(3)] });
  await db.bottle.put({ ...sent, gone: 0 });
  await commitEdits([{ kind: 'bottle', id: sent.id, since: SINCE, fields: { name: 'b' } }], splitStale);
  assert.deepEqual((await db.outbox.get(sent.id)).earlier, [past]);
});
