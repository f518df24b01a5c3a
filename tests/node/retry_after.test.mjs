// How long the server asks to wait, in seconds or as a date.
import assert from 'node:assert/strict';
import test from 'node:test';
import { me } from '../../static/account/api.js';
import { lookAt } from '../../static/domain/guest/guest_api.js';
import { retryAfter } from '../../static/lib/retry_after.js';

const IN_A_MINUTE = new Date(Math.floor(Date.now() / 1_000) * 1_000 + 60_000).toUTCString();

/** @param {string} [header] */
function busy(header) {
  const headers = { 'Content-Type': 'application/json', ...(header === undefined ? {} : { 'Retry-After': header }) };
  return Response.json({ code: 'too_many_requests' }, { status: 429, headers });
}

test('a wait is read as seconds or as a date', () => {
  const read = ['7', '900', undefined, '', '7s', '-3', new Date(0).toUTCString()].map((one) => retryAfter(busy(one)));
  assert.deepEqual(read, [7, 900, 0, 0, 0, 0, 0]);
  const left = retryAfter(busy(IN_A_MINUTE));
  assert.ok(left > 50 && left <= 60, String(left));
  assert.equal(retryAfter(busy('900'), 600), 600);
  assert.equal(retryAfter(busy('86400')), 86_400);
  assert.equal(retryAfter(null), 0);
});

test('guests and owners wait until the date of a proxy', async () => {
  globalThis.fetch = async () => busy(IN_A_MINUTE);
  for (const request of [() => lookAt({ code: '1' }), me]) {
    await assert.rejects(request, (/** @type {any} */ error) => error.wait_s > 50 && error.wait_s <= 60);
  }
});
