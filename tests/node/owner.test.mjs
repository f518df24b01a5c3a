import assert from 'node:assert/strict';
import test, { afterEach, beforeEach, mock } from 'node:test';
import * as names from '../../static/store/database_name.js';
import { BROWSER_KEY, keyHeader } from '../../static/store/browser_key.js';
import {
  authIssue,
  bindOwner,
  ensureOwner,
  fetchOwner,
  localOwner,
  ownerHeader,
  setAuthIssue,
} from '../../static/store/owner.js';
import { db } from '../../static/store/database.js';
import { control } from './environment.mjs';
import { emptyBook, json, serve } from './support.mjs';

const ADA = { uid: 'a'.repeat(20), name: 'Ada' };
const BEN = { uid: 'b'.repeat(20), name: 'Ben' };

beforeEach(async () => {
  await emptyBook();
  setAuthIssue(null);
});
afterEach(() => {
  mock.restoreAll();
  Object.assign(control, { full: false, blocked: false });
});

test('a notebook belongs to the first owner that it is bound to', async () => {
  assert.equal(await localOwner(), null);
  assert.equal(await bindOwner(ADA), true);
  assert.deepEqual(await localOwner(), ADA);
  assert.equal(await bindOwner({ ...ADA, name: 'Ada L.' }), true);
  assert.equal((await localOwner())?.name, 'Ada L.');
  assert.equal(await bindOwner(BEN), false);
  assert.equal((await localOwner())?.uid, ADA.uid);
});

test('each request names the owner and the browser', async () => {
  const key = keyHeader()['Second-Nose-Key'];
  assert.deepEqual(await ownerHeader(), { 'Second-Nose-Key': key });
  await bindOwner(ADA);
  assert.deepEqual(await ownerHeader(), { 'Second-Nose-Key': key, 'Second-Nose-Owner': ADA.uid });
});

test('a bound notebook does not ask for its owner', async () => {
  await bindOwner(ADA);
  const asked = serve(() => json({ owner: BEN }));
  assert.deepEqual(await ensureOwner(), ADA);
  assert.equal(asked.length, 0);
});

test('a notebook is bound to whom the server names', async () => {
  serve(() => json({ owner: ADA }));
  assert.deepEqual(await ensureOwner(), ADA);
  assert.deepEqual(await localOwner(), ADA);
});

test('a notebook stays unbound while the server names nobody', async () => {
  for (const [reply, expected] of /** @type {[() => any, string][]} */ ([
    [() => Promise.reject(new TypeError('Failed to fetch')), 'no_network'],
    [() => json({}, 404), 'older'],
    [() => json({ code: 'revoked' }, 401), 'signin'],
  ])) {
    serve(reply);
    assert.equal(await ensureOwner(), expected);
    assert.equal(await localOwner(), null);
  }
  assert.deepEqual(authIssue.value, { other: null, ended: 'revoked' });
});

test('nothing prevents sync before the server was asked', async () => {
  const page = await import('../../static/store/owner.js?before');
  assert.deepEqual(page.authIssue.value, { other: null, ended: '' });
});

test('a notebook bound by another tab meanwhile is not shared', async () => {
  serve(async () => {
    await bindOwner(BEN);
    return json({ owner: ADA });
  });
  assert.equal(await ensureOwner(), 'signin');
});

test('the owner is asked for without cache and redirect', async () => {
  const asked = serve(() => json({ owner: ADA }));
  assert.deepEqual(await fetchOwner(), ADA);
  const { url, init } = /** @type {any} */ (asked[0]);
  const { headers, cache, redirect, signal } = init;
  assert.deepEqual([url, cache, redirect, signal.aborted], ['/api/me', 'no-store', 'error', false]);
  assert.deepEqual(headers, { Accept: 'application/json', ...keyHeader() });
});

test('an owner without a name has an empty one', async () => {
  serve(() => json({ owner: { uid: ADA.uid } }));
  assert.deepEqual(await fetchOwner(), { uid: ADA.uid, name: '' });
});

test('an answer that names no owner is told apart', async () => {
  const html = { 'Content-Type': 'text/html' };
  /** @type {[() => any, string][]} */
  const cases = [
    [() => json({}, 404), 'older'],
    [() => json({ code: 'revoked' }, 401), 'signin'],
    [() => json({ owner: ADA }, 500), 'no_network'],
    [() => json({ owner: { uid: 7 } }), 'no_network'],
    [() => json({}), 'no_network'],
    [() => json(null), 'no_network'],
    [() => new Response('{', { headers: { 'Content-Type': 'application/json' } }), 'no_network'],
    [() => new Response(JSON.stringify({ owner: ADA }), { headers: html }), 'no_network'],
    [() => new Response(null, { status: 404 }), 'no_network'],
    [() => Promise.reject(new TypeError('Failed to fetch')), 'no_network'],
  ];
  for (const [reply, expected] of cases) {
    serve(reply);
    assert.equal(await fetchOwner(), expected);
  }
});

test('the reason for a sign-in is told', () => {
  const cases = [
    [
      { code: 'other_owner', errors: { owner: BEN } },
      { other: BEN, ended: '' },
    ],
    [{ code: 'other_owner' }, { other: null, ended: '' }],
    [
      { code: 'something', errors: { owner: BEN } },
      { other: null, ended: '' },
    ],
    [null, { other: null, ended: '' }],
    ...['revoked', 'passphrase_changed', 'upgraded', 'erased'].map((code) => [{ code }, { other: null, ended: code }]),
  ];
  for (const [problem, expected] of cases) {
    setAuthIssue(problem);
    assert.deepEqual(authIssue.value, expected);
  }
});

test('an equal reason changes nothing on the screen', () => {
  const other = (/** @type {any} */ owner) => ({ code: 'other_owner', errors: { owner } });
  setAuthIssue(other(BEN));
  const { value } = authIssue;
  setAuthIssue(other({ ...BEN }));
  assert.equal(authIssue.value, value);
  setAuthIssue(other(ADA));
  assert.deepEqual(authIssue.value.other, ADA);
});

test('the browser key is created once and stored', () => {
  localStorage.removeItem(BROWSER_KEY);
  const key = keyHeader()['Second-Nose-Key'];
  assert.match(String(key), /^[0-9a-f]{64}$/);
  assert.equal(localStorage.getItem(BROWSER_KEY), key);
  localStorage.setItem(BROWSER_KEY, 'of another tab');
  assert.deepEqual(keyHeader(), { 'Second-Nose-Key': 'of another tab' });
  localStorage.removeItem(BROWSER_KEY);
});

test('the browser key of another tab that was first is taken', () => {
  localStorage.removeItem(BROWSER_KEY);
  mock.method(Object.getPrototypeOf(localStorage), 'setItem', function set(/** @type {string} */ name) {
    this[name] = 'of another tab';
  });
  assert.deepEqual(keyHeader(), { 'Second-Nose-Key': 'of another tab' });
  localStorage.removeItem(BROWSER_KEY);
});

test('without localStorage the browser key lasts with the page', () => {
  for (const failure of ['blocked', 'full']) {
    Object.assign(control, { full: false, blocked: false, [failure]: true });
    const key = keyHeader()['Second-Nose-Key'];
    assert.match(String(key), /^[0-9a-f]{64}$/);
    assert.deepEqual(keyHeader(), { 'Second-Nose-Key': key });
  }
});

test('each byte of the browser key has two digits', () => {
  localStorage.removeItem(BROWSER_KEY);
  mock.method(Object.getPrototypeOf(localStorage), 'setItem', () => {});
  mock.method(Object.getPrototypeOf(localStorage), 'getItem', () => null);
  const key = String(keyHeader()['Second-Nose-Key']);
  assert.equal(key.length, 64);
  assert.deepEqual(keyHeader(), { 'Second-Nose-Key': key });
});

test('the name of a database tells its owner', () => {
  const uid = '0123456789abcdef0123';
  assert.equal(names.nameForOwner(uid), `secondnose-${uid}`);
  assert.equal(names.ownerFromName(names.nameForOwner(uid)), uid);
  assert.equal(names.ownerFromName('secondnose'), null);
  assert.equal(names.ownerFromName('elsewhere'), null);
  assert.equal(names.isOurDatabase('secondnose'), true);
  assert.equal(names.isOurDatabase(names.nameForOwner(uid)), true);
  assert.equal(names.isOurDatabase('secondnose-1'), true);
  assert.equal(names.ownerFromName('secondnose-1'), null);
  for (const name of ['secondnose-1234', `xsecondnose-${uid}`, names.GUEST_DATABASE, ''])
    assert.equal(names.isOurDatabase(name), false);
});

/** @param {string} variant @returns {Promise<typeof names>} the module as another page load sees it */
const loaded = (variant) => import(`../../static/store/database_name.js?${variant}`);

test('the active database is fixed while the page is open', async () => {
  const other = names.nameForOwner('0123456789abcdef0123');
  names.setActiveDatabase(other);
  const page = await loaded('other');
  assert.deepEqual(
    [page.databaseName, page.snapshotKey, page.journalKey, page.stateKey, page.themeKey],
    [other, `${other}.seen`, `${other}.unwritten.`, `${other}.state.`, `${other}.light`],
  );
  names.setActiveDatabase('elsewhere');
  assert.equal((await loaded('elsewhere')).databaseName, 'secondnose');
  localStorage.removeItem(names.POINTER);
  assert.equal((await loaded('first')).databaseName, 'secondnose');
  control.blocked = true;
  assert.equal((await loaded('blocked')).databaseName, 'secondnose');
  names.dropSnapshot([names.snapshotKey]);
});

test('a write removes the snapshot', () => {
  localStorage.setItem(names.snapshotKey, 'x');
  names.dropSnapshot([names.snapshotKey]);
  assert.equal(localStorage.getItem(names.snapshotKey), null);
});

test('a row of the clock keeps its owner apart', async () => {
  await bindOwner(ADA);
  assert.deepEqual(await db.meta.get('owner'), { name: 'owner', uid: ADA.uid, owner_name: 'Ada' });
});
