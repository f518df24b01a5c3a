// Undoing "Taste it now": the pour that was left is the open one again, and one bottle goes back.
import assert from 'node:assert/strict';
import test from 'node:test';
import { stateKey } from '../../static/store/database_name.js';
import { openPour } from '../../static/store/open_pour.js';
import { record, tasting } from '../../static/store/queries.js';
import { newId, save } from '../../static/store/write.js';
import { useEmptyBook } from './support.mjs';

const documentElement = { classList: { toggle() {} }, style: { removeProperty() {} } };
Object.assign(document, { documentElement });
Object.assign(globalThis, { location: { hash: '', pathname: '/' } });
const { putBottleBack } = await import('../../static/domain/open_bottle.js');
useEmptyBook();

test('an undone opening never leaves a deleted pour open', async () => {
  const unfinished = { tasting: newId(), step: 'sips' };
  const opened = await save('tasting', newId(), {});
  const stock = await save('stock', newId(), { count: 0 });
  await openPour.set({ tasting: opened, step: 'note' });
  const done = putBottleBack({ stock, count: 1, tasting: opened, unfinished });
  dispatchEvent(new Event('pagehide'));
  assert.deepEqual(JSON.parse(localStorage[`${stateKey}open_pour`]).value, unfinished);
  await done;
  assert.deepEqual(openPour.peek(), unfinished);
  assert.equal((await tasting(opened))?.gone, 1);
  assert.equal((await record('stock', stock))?.fields['count'], 1);
});

test('an undone opening keeps what another tab counted', async () => {
  const tasting = await save('tasting', newId(), {});
  const stock = await save('stock', newId(), { count: 2 });
  await save('stock', stock, { count: 8 });
  await putBottleBack({ stock, count: 3, tasting, unfinished: null });
  assert.equal((await record('stock', stock))?.fields['count'], 9);
});
