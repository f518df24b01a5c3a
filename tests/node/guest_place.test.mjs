// What a guest's page does after labels or answers were shown.
import assert from 'node:assert/strict';
import test from 'node:test';
import { areResultsDue } from '../../static/domain/guest/place.js';
import { isRead } from '../../static/features/guest/follow.js';

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

test('a page is read while it shows answers or a label', () => {
  const place = { glass: 'a', step: 'verdict', isTalk: true, key: 'a/talk' };
  assert.equal(isRead(viewOf([{ discussed: true }]), place), true);
  assert.equal(isRead(viewOf([{ uncovered: true }]), place), true);
  // The leader has taken the showing back.
  assert.equal(isRead(viewOf([{ discussed: false }]), place), false);
  assert.equal(isRead(viewOf([{ discussed: true }]), { ...place, isTalk: false }), false);
  assert.equal(isRead(viewOf([{ discussed: true }]), null), false);
});
