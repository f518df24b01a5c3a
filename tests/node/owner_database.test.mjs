// The notebook of a second owner on the same phone: the name of its database tells whose it is.
import assert from 'node:assert/strict';
import test from 'node:test';

const UID = '0123456789abcdef0123';
// The pointer is read when the page opens.
localStorage.setItem('secondnose.open', `secondnose-${UID}`);
const { bindOwner, ensureOwner, localOwner, ownerHeader } = await import('../../static/store/owner.js');
const { removeExample } = await import('../../static/store/example.js');
const { db } = await import('../../static/store/database.js');
const { eraseHere } = await import('../../static/account/erase.js');
const { default: Dexie } = await import('../../static/vendor/dexie.js');
const { newId, save } = await import('../../static/store/write.js');
const { serve } = await import('./support.mjs');

test('a notebook has the owner of its name before it is bound', async () => {
  const asked = serve(() => Promise.reject(new TypeError('Failed to fetch')));
  assert.deepEqual(await localOwner(), { uid: UID, name: '' });
  assert.equal((await ownerHeader())['Second-Nose-Owner'], UID);
  assert.deepEqual(await ensureOwner(), { uid: UID, name: '' });
  assert.equal(asked.length, 0);
});

test('the example in the notebook of an owner is deleted by marks', async () => {
  const id = newId();
  await save('visit', id, { on: '2026-03-01', example: true });
  assert.equal((await removeExample()).removed, 1);
  assert.equal((await db.visit.get(id))?.gone, 1);
});

test('a notebook is bound only to the owner of its name', async () => {
  assert.equal(await bindOwner({ uid: 'b'.repeat(20), name: 'Ben' }), false);
  assert.equal(await bindOwner({ uid: UID, name: 'Ada' }), true);
  assert.deepEqual(await localOwner(), { uid: UID, name: 'Ada' });
});

test('erasing opens nothing that somebody else has noted', async () => {
  const first = new Dexie('secondnose');
  first.version(1).stores({ meta: 'name', outbox: 'id, kind, held' });
  await first.table('meta').put({ name: 'owner', uid: 'b'.repeat(20), owner_name: 'Ben' });
  first.close();
  // Nobody's, but not empty.
  const left = new Dexie('secondnose-1');
  left.version(1).stores({ meta: 'name', outbox: 'id, kind, held' });
  await left.table('outbox').put({ id: newId(), kind: 'tasting' });
  left.close();
  await eraseHere();
  assert.equal(localStorage.getItem('secondnose.open'), 'secondnose-2');
  assert.deepEqual(await Dexie.getDatabaseNames(), ['secondnose', 'secondnose-1']);
});
