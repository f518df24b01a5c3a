import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import { resolveBottle } from '../../static/domain/bottle_names.js';
import { bottlesByIds } from '../../static/store/queries.js';
import { saveMany } from '../../static/store/write.js';
import { emptyBook, someId } from './support.mjs';

beforeEach(emptyBook);

const [ONE, TWO, THREE] = [someId(), someId(), someId()];

/** @param {Record<string, string>} merges which bottle was merged into which */
const saveBottles = (merges) =>
  saveMany(
    [ONE, TWO, THREE].map((id) => ({ kind: 'bottle', id, fields: { name: 'a', merged_into: merges[id] ?? null } })),
  );

test('bottles are read with those they were merged into', async () => {
  await saveBottles({ [ONE]: TWO, [TWO]: THREE });
  const found = await bottlesByIds([ONE, ONE, undefined, null, {}, someId()]);
  assert.deepEqual([...found.keys()], [ONE, TWO, THREE]);
  assert.equal(resolveBottle(found, ONE)?.id, THREE);
  assert.deepEqual([...(await bottlesByIds([THREE])).keys()], [THREE]);
  assert.equal((await bottlesByIds([])).size, 0);
});

test('bottles merged in a circle are read once', async () => {
  await saveBottles({ [ONE]: TWO, [TWO]: ONE });
  const found = await bottlesByIds([ONE]);
  assert.deepEqual([...found.keys()], [ONE, TWO]);
  assert.ok(resolveBottle(found, ONE));
});
