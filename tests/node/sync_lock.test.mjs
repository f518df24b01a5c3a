// One tab syncs at a time.
import assert from 'node:assert/strict';
import test from 'node:test';
import { withSyncLock } from '../../static/sync/lock.js';
import { turns } from './support.mjs';

test('one tab after the other syncs', async () => {
  const steps = [];
  const work = (name) => async () => {
    steps.push(name);
    await turns();
    steps.push(name);
    return name;
  };
  assert.deepEqual(await Promise.all([withSyncLock(work('a')), withSyncLock(work('b'))]), ['a', 'b']);
  assert.deepEqual(steps, ['a', 'a', 'b', 'b']);
});

test('a browser without locks syncs all the same', async () => {
  const { locks } = navigator;
  navigator.locks = undefined;
  assert.equal(await withSyncLock(async () => 'done'), 'done');
  navigator.locks = locks;
});
