import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { db } from '../../static/store/database.js';
import { finishTimer } from '../../static/store/finish_timer.js';
import { localState } from '../../static/store/local_state.js';
import { openPour } from '../../static/store/open_pour.js';
import { emptyBook, someId, turns, until } from './support.mjs';

const isNumber = (stored) => typeof stored === 'number';
const byTheCaller = { restored: 'by the caller' };

beforeEach(emptyBook);

test('what is set is stored and restored', async () => {
  await localState('one', isNumber, byTheCaller).set(7);
  assert.deepEqual(await db.meta.get('one'), { name: 'one', kept: 7 });
  const again = localState('one', isNumber, byTheCaller);
  assert.equal(again.value, null);
  await again.restore();
  assert.equal(again.value, 7);
  assert.equal(again.peek(), 7);
  await again.set(null);
  assert.equal(await db.meta.get('one'), undefined);
});

test('an invalid stored value is dropped', async () => {
  await db.meta.put({ name: 'two', kept: 'seven' });
  const state = localState('two', isNumber, byTheCaller);
  await state.restore();
  assert.equal(state.value, null);
});

test('a value is read at once unless the caller restores it', async () => {
  await db.meta.put({ name: 'three', kept: 3 });
  const lazy = localState('three', isNumber, byTheCaller);
  const eager = localState('three', isNumber);
  await until(() => eager.value === 3);
  assert.equal(lazy.value, null);
});

test('what is set during a restore wins over what is stored', async () => {
  await db.meta.put({ name: 'four', kept: 3 });
  const state = localState('four', isNumber, byTheCaller);
  const restored = state.restore();
  await Promise.all([state.set(4), restored]);
  assert.equal(state.value, 4);
});

test('open pour and finish timer keep their older rows', async () => {
  const tasting = someId();
  await db.meta.bulkPut([
    { name: 'open_pour', open: { tasting, step: 'look' } },
    { name: 'finish', running: { tasting, started_ms: 5 } },
  ]);
  await Promise.all([openPour.restore(), finishTimer.restore()]);
  assert.deepEqual(openPour.value, { tasting, step: 'look' });
  assert.deepEqual(finishTimer.value, { tasting, started_ms: 5 });
  await openPour.set({ tasting, step: 'sips' });
  assert.deepEqual(await db.meta.get('open_pour'), { name: 'open_pour', open: { tasting, step: 'sips' } });
});

test('nothing stored is no value', async () => {
  const state = localState('five', isNumber, byTheCaller);
  await state.restore();
  assert.equal(state.value, null);
});

test('an open pour or a finish timer of another shape is dropped', async () => {
  const tasting = someId();
  for (const [name, property, state, values] of /** @type {[string, string, typeof openPour, any[]][]} */ ([
    [
      'open_pour',
      'open',
      openPour,
      [null, { tasting }, { step: 'look' }, { tasting: 1, step: 'look' }, { tasting, step: 1 }],
    ],
    [
      'finish',
      'running',
      finishTimer,
      [null, { tasting }, { started_ms: 5 }, { tasting: 1, started_ms: 5 }, { tasting, started_ms: '5' }],
    ],
  ])) {
    for (const value of [undefined, ...values]) {
      await db.meta.put({ name, [property]: value });
      await state.restore();
      assert.equal(state.value, null, JSON.stringify(value));
    }
  }
});

test('open pour and finish timer are read when the app asks', async () => {
  const read = mock.method(db.meta, 'get').mock;
  await import('../../static/store/open_pour.js?again');
  await import('../../static/store/finish_timer.js?again');
  await turns();
  assert.equal(read.callCount(), 0);
  mock.restoreAll();
});
