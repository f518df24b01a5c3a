// The invitation of a table: once it was closed, only the leader's wish opens another one.
import assert from 'node:assert/strict';
import test, { beforeEach } from 'node:test';
import { closeInvitation, invite, inviteAgain } from '../../static/features/table/invite/invitation.js';
import { bindOwner } from '../../static/store/owner.js';
import { emptyBook, json, serve, takesAll } from './support.mjs';

// The next round of the sync loop must not keep the process alive.
const start = globalThis.setTimeout;
globalThis.setTimeout = /** @type {any} */ (
  (/** @type {any[]} */ ...args) => start(.../** @type {[any]} */ (args)).unref()
);

const INVITATION = { code: 'ABC234', secret: 's', path: '/#/guest/s', keeps_days: 30 };

/** @type {string[]} the methods that the invitation was asked for with */
let asked;
let isReached = true;
/** @type {[string, number] | null} code and status of the server's refusal */
let refusal;

beforeEach(async () => {
  await emptyBook();
  await bindOwner({ uid: 'a'.repeat(20), name: '' });
  asked = [];
  isReached = true;
  refusal = null;
  serve((url, init) => {
    if (!url.includes('/invitation')) return takesAll({})(url, init);
    asked.push(init.method);
    if (refusal) return json({ code: refusal[0] }, refusal[1]);
    return isReached ? json(init.method === 'POST' ? INVITATION : { done: true }) : json({}, 503);
  });
});

test('a closed invitation stays closed until it is asked for', async () => {
  assert.deepEqual(await invite('t1'), { invitation: INVITATION, problem: null });
  assert.equal(await closeInvitation('t1'), true);
  assert.deepEqual(await invite('t1'), { invitation: null, problem: 'closed' });
  assert.deepEqual(asked, ['POST', 'DELETE']);
  assert.deepEqual((await invite('t2')).invitation, INVITATION);
  assert.deepEqual((await inviteAgain('t1')).invitation, INVITATION);
  assert.deepEqual((await invite('t1')).invitation, INVITATION);
});

test('an invitation that the server kept open is not closed', async () => {
  isReached = false;
  assert.equal(await closeInvitation('t1'), false);
  isReached = true;
  assert.deepEqual((await invite('t1')).invitation, INVITATION);
});

test('whoever is signed out is asked to sign in', async () => {
  for (const [code, status, problem] of /** @type {[string, number, string][]} */ ([
    ['sign_in', 401, 'sign_in'],
    ['passphrase_changed', 401, 'sign_in'],
    ['other_owner', 409, 'sign_in'],
    ['no_such_table', 404, 'refused'],
  ])) {
    refusal = [code, status];
    assert.deepEqual(await invite('t1'), { invitation: null, problem });
  }
});
