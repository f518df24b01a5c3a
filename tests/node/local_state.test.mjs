import assert from 'node:assert/strict';
import test, { beforeEach, mock } from 'node:test';
import { stateKey } from '../../static/store/database_name.js';
import { db, storeState } from '../../static/store/database.js';
import { followState } from '../../static/store/follow_state.js';
import { finishTimer } from '../../static/store/finish_timer.js';
import { localState } from '../../static/store/local_state.js';
import { openPour } from '../../static/store/open_pour.js';
import { control } from './environment.mjs';
import { abortOnce, emptyBook, someId, turns, until } from './support.mjs';

const isNumber = (stored) => typeof stored === 'number';
const byTheCaller = { restored: 'by the caller' };

beforeEach(async () => {
  Object.assign(control, { full: false, blocked: false });
  for (const key of Object.keys(localStorage)) localStorage.removeItem(key);
  await emptyBook();
});

const leave = () => dispatchEvent(new Event('pagehide'));
/** Each new page has modules of its own. */
let pages = 0;
const nextPage = () => import(`../../static/store/local_state.js?page=${(pages += 1)}`);

test('what is set is stored and restored', async () => {
  await localState('one', isNumber, byTheCaller).set(7);
  assert.equal((await db.meta.get('one')).kept, 7);
  const again = localState('one', isNumber, byTheCaller);
  assert.equal(again.value, null);
  await again.restore();
  assert.equal(again.value, 7);
  assert.equal(again.peek(), 7);
  await again.set(null);
  await again.restore();
  assert.equal(again.value, null);
  assert.equal('kept' in (await db.meta.get('one')), false);
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
  assert.deepEqual((await db.meta.get('open_pour')).open, { tasting, step: 'sips' });
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

test('a value that was not committed is restored', async () => {
  const lost = mock.method(db, 'transaction', () => Promise.reject(new Error('the page was closed')));
  await assert.rejects(localState('six', isNumber, byTheCaller).set(6));
  leave();
  lost.mock.restore();
  const page = await nextPage();
  const state = page.localState('six', isNumber, byTheCaller);
  await state.restore();
  assert.equal(state.value, 6);
  assert.equal((await db.meta.get('six')).kept, 6);
  assert.equal(localStorage.getItem(`${stateKey}six`), null);
});

test('a removal that was not committed is restored', async () => {
  await db.meta.put({ name: 'seven', kept: 7 });
  localStorage.setItem(`${stateKey}seven`, '{"value":null,"at":1}');
  const state = localState('seven', isNumber, byTheCaller);
  await state.restore();
  assert.equal(state.value, null);
  assert.equal('kept' in (await db.meta.get('seven')), false);
});

test('a full phone shows what it cannot commit', async () => {
  localStorage.setItem(`${stateKey}twelve`, '{"value":12,"at":1}');
  const lost = mock.method(db, 'transaction', () => Promise.reject(new Error('full')));
  const told = mock.method(console, 'error', () => {});
  const state = localState('twelve', isNumber, byTheCaller);
  await state.restore();
  assert.equal(state.value, 12);
  assert.match(String(told.mock.calls[0]?.arguments[0]), /full/);
  assert.equal(JSON.parse(localStorage.getItem(`${stateKey}twelve`) ?? '').value, 12);
  lost.mock.restore();
  told.mock.restore();
});

test('an uncommitted value of another shape is dropped', async () => {
  await db.meta.put({ name: 'eight', kept: 8 });
  for (const text of ['{"value":"eight","at":1}', '{"val', '[]']) {
    localStorage.setItem(`${stateKey}eight`, text);
    const state = localState('eight', isNumber, byTheCaller);
    await state.restore();
    assert.equal(state.value, 8);
  }
});

test('a page put away keeps a value until its commit', async () => {
  const state = localState('nine', isNumber, byTheCaller);
  const first = state.set(8);
  const second = state.set(9);
  document.dispatchEvent(new Event('visibilitychange'));
  assert.equal(JSON.parse(localStorage.getItem(`${stateKey}nine`) ?? '').value, 9);
  await first;
  assert.equal(JSON.parse(localStorage.getItem(`${stateKey}nine`) ?? '').value, 9);
  await second;
  assert.equal(localStorage.getItem(`${stateKey}nine`), null);
  leave();
  assert.equal(localStorage.getItem(`${stateKey}nine`), null);
});

test('a restore keeps the value that waits for its commit', async () => {
  await db.meta.put({ name: 'ten', kept: 3 });
  const state = localState('ten', isNumber, byTheCaller);
  const lost = mock.method(db, 'transaction', () => Promise.reject(new Error('full')));
  await assert.rejects(state.set(10));
  lost.mock.restore();
  await state.restore();
  assert.equal(state.value, 10);
});

test('without localStorage a value is still stored', async () => {
  Object.assign(control, { blocked: true });
  const state = localState('eleven', isNumber, byTheCaller);
  const stored = state.set(11);
  leave();
  await stored;
  await state.restore();
  assert.equal(state.value, 11);
  assert.equal((await db.meta.get('eleven')).kept, 11);
});

test('a value stored by another tab wins over an older one', async () => {
  localStorage.setItem(`${stateKey}two tabs`, '{"value":1,"at":5}');
  for (const [at, expected] of [
    [6, 2],
    [5, 1],
  ]) {
    await db.meta.put({ name: 'two tabs', kept: 2, at });
    const state = localState('two tabs', isNumber, byTheCaller);
    await state.restore();
    assert.equal(state.value, expected, String(at));
  }
});

test('a repeated transaction does not bring back an older value', async () => {
  const state = localState('repeated', isNumber, byTheCaller);
  const wasAborted = abortOnce();
  await Promise.all([state.set(1), state.set(2)]);
  assert.ok(wasAborted());
  mock.restoreAll();
  assert.equal((await db.meta.get('repeated')).kept, 2);
});

test('a value set back to an earlier one is still protected', async () => {
  const state = localState('back', isNumber, byTheCaller);
  const first = state.set(1);
  const others = [state.set(2), state.set(1)];
  await first;
  leave();
  assert.equal(JSON.parse(localStorage.getItem(`${stateKey}back`) ?? 'null')?.value, 1);
  await Promise.all(others);
});

test('an erased notebook leaves nothing behind', async () => {
  const was = storeState.value;
  const state = localState('erased', isNumber, byTheCaller);
  const stored = state.set(1);
  storeState.value = 'erased';
  leave();
  assert.equal(localStorage.getItem(`${stateKey}erased`), null);
  storeState.value = was;
  await stored;
});

test('a followed state shows what another tab stores', async () => {
  const isList = (stored) => Array.isArray(stored);
  const state = localState('followed', isList, byTheCaller);
  const own = ['own'];
  await state.set(own);
  const stop = followState(state);
  await turns();
  await state.restore();
  assert.equal(state.value, own);
  mock.timers.enable({ apis: ['Date'], now: Date.now() + 1_000 });
  await (await nextPage()).localState('followed', isList, byTheCaller).set(['theirs']);
  await until(() => state.value?.[0] === 'theirs');
  mock.timers.reset();
  stop();
});
