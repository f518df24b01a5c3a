// An answer about the account that was cut off on the way is told from one that says something.
import assert from 'node:assert/strict';
import test from 'node:test';
import { confirmPassphrase, devices, me, signIn } from '../../static/account/api.js';
import { openTables } from '../../static/store/database.js';

test('an answer that was cut off counts as no connection', async () => {
  await openTables();
  const cutOff = { status: 200, headers: { 'Content-Type': 'application/json' } };
  globalThis.fetch = async () => new Response('{"owner": {"ui', cutOff);
  for (const ask of [me, devices, () => signIn('anna', 'x', 'phone')]) {
    await assert.rejects(ask(), { name: 'AccountError', code: 'no_network' });
  }
  await confirmPassphrase('x');
});
