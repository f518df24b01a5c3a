// What a guest's page does after labels or answers were shown.
import assert from 'node:assert/strict';
import test from 'node:test';
import {
  areResultsDue,
  endedView,
  freePlace,
  isClosed,
  leavingKey,
  leftState,
  shownGlasses,
} from '../../static/domain/guest/place.js';
import { timerStart } from '../../static/domain/guest/seat_state.js';
import { EveryoneAt } from '../../static/features/guest/everyone_at.js';
import { isRead } from '../../static/features/guest/follow.js';
import './english.mjs';
import { textOf } from './text_of.mjs';

/** @param {Record<string, any>[]} glasses @param {Record<string, any>} [rest] @returns {any} */
const viewOf = (glasses, rest = {}) => ({
  table: {},
  glasses: glasses.map((glass, at) => ({ id: 'ab'[at], position: at + 1, ...glass })),
  ...rest,
});

/** @param {any} view @param {Record<string, any>} [rest] @returns {any} */
const seatOf = (view, rest = {}) => ({ view, origin: 'server', state: 'in', ...rest });

test('results are due from the last label until they are shown', () => {
  const all = [{ uncovered: true }, { uncovered: true }];
  assert.equal(areResultsDue(seatOf(viewOf(all))), true);
  assert.equal(areResultsDue(seatOf(viewOf([{ uncovered: true }, { uncovered: false }]))), false);
  assert.equal(areResultsDue(seatOf(viewOf([]))), false);
  assert.equal(areResultsDue(seatOf(viewOf(all, { results: { order: [] } }))), false);
  assert.equal(areResultsDue(seatOf(viewOf(all, { table: { ended_at: 'x' } }))), false);
  assert.equal(areResultsDue(seatOf(viewOf(all), { origin: 'qr' })), false);
  assert.equal(areResultsDue(seatOf(viewOf(all), { state: 'removed' })), false);
});

test('a table that takes nothing more has no open step', () => {
  const view = viewOf([{}], { table: { ended_at: null, name: 'Monday table' } });
  const [glass] = view.glasses;
  assert.equal(isClosed(view, glass, 'verdict', 0), false);
  const ended = endedView(view, 'now');
  assert.equal(isClosed(ended, glass, 'verdict', 0), true);
  assert.deepEqual(ended['table'], { ended_at: 'now', name: 'Monday table' });
  assert.equal(endedView(viewOf([], { table: { ended_at: 'x' } }), 'now')['table'].ended_at, 'x');
});

test('a page is read while it shows answers or a label', () => {
  const place = { glass: 'a', step: 'verdict', isTalk: true, key: 'a/talk' };
  assert.equal(isRead(viewOf([{ discussed: true }]), place), true);
  assert.equal(isRead(viewOf([{ uncovered: true }]), place), true);
  // The leader has taken the showing back.
  assert.equal(isRead(viewOf([{ discussed: false }]), place), false);
  assert.equal(isRead(viewOf([{ discussed: true }]), { ...place, isTalk: false }), false);
  assert.equal(isRead(viewOf([{ discussed: true }]), null), false);
});

test('own pace begins when the first glass comes', () => {
  const free = { table: { pace: 'free', steps: ['look', 'verdict'] } };
  assert.equal(
    freePlace(viewOf([], free), null, () => ({})),
    null,
  );
  const first = freePlace(viewOf([{}, {}], free), null, () => ({}));
  assert.deepEqual(first, { glass: 'a', step: 'look' });
  // An answer does not turn the page.
  const answered = (/** @type {string} */ id) => (id === 'a' ? { look_colour: 'red' } : {});
  assert.equal(freePlace(viewOf([{}, {}], free), first, answered), first);
});

test('own pace goes on where a led guest stopped', () => {
  const steps = ['look', 'verdict'];
  const answered = (/** @type {string} */ id) => (id === 'a' ? { look_colour: 'red' } : {});
  assert.equal(freePlace(viewOf([{}, {}], { table: { pace: 'led', steps } }), null, answered), null);
  const free = { table: { pace: 'free', steps } };
  const next = freePlace(viewOf([{}, {}], free), null, answered);
  assert.deepEqual(next, { glass: 'a', step: 'verdict' });
  // Its glass was taken away, or its step is not asked any more.
  assert.deepEqual(freePlace(viewOf([{ id: 'c' }], free), next, answered), { glass: 'c', step: 'look' });
  const lookOnly = { table: { pace: 'free', steps: ['look'] } };
  assert.deepEqual(freePlace(viewOf([{}, {}], lookOnly), next, answered), { glass: 'b', step: 'look' });
});

test('shown glasses come with the last one tasted first', () => {
  const ids = (/** @type {any[]} */ ...glasses) => shownGlasses(viewOf(glasses)).map(({ id }) => id);
  const [early, late] = [{ closed: { look: 5, verdict: 10 } }, { closed: { look: 15, verdict: 20 } }];
  assert.deepEqual(ids({ ...early, discussed: true }, { ...late, discussed: true }), ['b', 'a']);
  assert.deepEqual(ids({ ...late, discussed: true }, { ...early, discussed: true }), ['a', 'b']);
  // A visible label is nothing new; one that was uncovered is.
  assert.deepEqual(ids({ ...early, bottle: {} }, { ...late, bottle: {}, uncovered: true }), ['b']);
  assert.deepEqual(ids({ uncovered: true }, { discussed: true }), ['b']);
});

test('a step that was left is named until the guest goes on', () => {
  const view = viewOf([{ closed: { verdict: 10 } }, {}]);
  const left = { glass: 'a', step: 'verdict' };
  const place = { glass: 'b', step: 'look' };
  const noted = (/** @type {string} */ id) => (id === 'b' ? { look_colour: 'red' } : {});
  const none = () => ({});
  assert.equal(leftState(view, left, place, none, 10), 'open');
  assert.equal(leftState(view, left, place, noted, 10), 'open');
  assert.equal(leftState(view, left, place, none, 11), 'closed');
  assert.equal(leftState(view, left, place, noted, 11), null);
  assert.equal(leftState(view, left, null, noted, 11), 'closed');
  assert.equal(leftState(viewOf([]), left, null, none, 0), 'closed');
});

test('a finish timer does not run on in a closed step', () => {
  const seat = /** @type {any} */ ({ timer: { glass: 'a', started_ms: 5 } });
  assert.equal(timerStart(seat, 'a', false), 5);
  assert.equal(timerStart(seat, 'a', true), null);
  assert.equal(timerStart(seat, 'b', false), null);
  assert.equal(timerStart(null, 'a', false), null);
});

test('nobody is promised a seat at a table that has ended', () => {
  const [open, ended] = [viewOf([{}]), viewOf([{}], { table: { ended_at: 'x' } })];
  assert.equal(leavingKey(seatOf(open)), 'keep');
  assert.equal(leavingKey(seatOf(ended)), 'over');
  assert.deepEqual(
    ['over', 'removed', 'left'].map((state) => leavingKey(seatOf(open, { state }))),
    ['over', 'over', 'already'],
  );
});

test('at everybody’s own pace nobody hears that no glass is open', () => {
  const shown = (/** @type {string} */ pace) =>
    textOf(
      EveryoneAt({
        view: viewOf([{}], { table: { pace } }),
        now: null,
        isElsewhere: false,
        isHeld: true,
        onGo: () => undefined,
      }),
    );
  assert.match(shown('led'), /No glass is open now/);
  assert.match(shown('free'), /Everyone tastes at their own pace now/);
});
