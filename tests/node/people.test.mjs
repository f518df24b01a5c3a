// Guests who agree become people of the notebook.
import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import { rememberGuest } from '../../static/domain/table/people.js';
import { allOf, record } from '../../static/store/queries.js';
import { save } from '../../static/store/write.js';
import { emptyBook, someId } from './support.mjs';

const AGREED = '2026-11-28T21:00:00+01:00';

beforeEach(emptyBook);

/**
 * Remember a guest.
 * @param {string} table
 * @param {string} name
 * @param {Record<string, any>} [more]
 * @returns {Promise<{ guest: string, person: any }>}
 */
async function remembered(table, name, more = {}) {
  const fields = { group_tasting: table, name, entry: 'phone', agreed_at: AGREED, ...more };
  const guest = await save('guest', someId(), fields);
  await rememberGuest(/** @type {any} */ (await record('guest', guest)));
  return { guest, person: (await record('guest', guest))?.fields['person'] };
}

test('two guests of one name at a table are two people', async () => {
  const [table, next] = [someId(), someId()];
  const one = await remembered(table, 'Ben');
  const other = await remembered(table, 'ben');
  assert.notEqual(one.person, other.person);
  assert.equal((await allOf('person')).length, 2);
  // At the next table each of the two is found once, in some order.
  const again = [await remembered(next, 'Ben'), await remembered(next, 'Ben')];
  assert.deepEqual(new Set(again.map(({ person }) => person)), new Set([one.person, other.person]));
});

test('a guest of the same name at another table is that person', async () => {
  const one = await remembered(someId(), 'Ben');
  assert.equal((await remembered(someId(), 'Ben')).person, one.person);
});

test('who was removed and came again is the same person', async () => {
  const table = someId();
  const one = await remembered(table, 'Ben');
  await save('guest', one.guest, { removed_at: AGREED });
  assert.equal((await remembered(table, 'Ben')).person, one.person);
});

const [EARLY, LEFT, LATE] = ['2026-11-28T20:00:00+01:00', '2026-11-28T19:30:00.000+00:00', '2026-11-28T21:00:00+01:00'];
const GONE = { joined_at: EARLY, left_at: LEFT };

test('who left and came again is the same person', async () => {
  for (const guests of [
    [GONE, { joined_at: LATE }],
    [{ joined_at: LATE }, GONE],
  ]) {
    await emptyBook();
    const table = someId();
    const [one, other] = [await remembered(table, 'Ben', guests[0]), await remembered(table, 'Ben', guests[1])];
    assert.equal(other.person, one.person);
  }
});

test('who came before the other left is somebody else', async () => {
  const table = someId();
  const one = await remembered(table, 'Ben', GONE);
  assert.notEqual((await remembered(table, 'Ben', { joined_at: EARLY })).person, one.person);
});

test('who came without a network may have sat there before', async () => {
  const table = someId();
  const one = await remembered(table, 'Ben', GONE);
  // Joined when the codes were scanned.
  const other = await remembered(table, 'Ben', { joined_at: LATE, entry: 'qr' });
  assert.notEqual(other.person, one.person);
});
