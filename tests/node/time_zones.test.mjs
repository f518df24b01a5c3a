// Days and times where the phone is west of Greenwich, or has travelled; the store is used too.
import assert from 'node:assert/strict';
import process from 'node:process';
import test, { afterEach, mock } from 'node:test';
import './english.mjs';
import { writeArchive } from '../../static/archive/write_archive.js';
import { ownGuesses } from '../../static/domain/guest/own_guesses.js';
import { currentVisit } from '../../static/domain/pour/visits.js';
import { typedTime } from '../../static/domain/pour/typed_time.js';
import { tableName } from '../../static/domain/table/table_name.js';
import { date } from '../../static/lib/format.js';
import { emptyBook } from './support.mjs';

const ZONES = ['Pacific/Honolulu', 'America/Los_Angeles', 'Europe/Rome', 'Asia/Tokyo', 'Pacific/Kiritimati'];
const IN_ROME = '2026-12-31T23:50:07+01:00';

/** @param {string} zone of the phone from now on */
const be = (zone) => {
  process.env.TZ = zone;
};

afterEach(() => mock.timers.reset());

test('a day is shown as itself west of Greenwich', () => {
  be('America/Los_Angeles');
  assert.equal(date('2026-11-30'), '30 Nov 2026');
  assert.equal(date('2026-11-01', { month: 'long', year: 'numeric' }), 'November 2026');
  assert.equal(date('2026-11-30T00:05:00'), '30 Nov 2026');
  assert.equal(date('2027-01-01T07:59:00Z'), '31 Dec 2026');
  assert.match(tableName(/** @type {any} */ ({ on: '2026-12-31' })), /31 Dec 2026/);
});

test('a visit runs for 36 hours from its own midnight', () => {
  for (const zone of ZONES) {
    be(zone);
    const visit = /** @type {any} */ ({ id: 'a', fields: { on: '2026-12-31' } });
    assert.equal(currentVisit([visit], new Date('2027-01-01T11:59:00')), visit, zone);
    assert.equal(currentVisit([visit], new Date('2027-01-01T12:00:00')), null, zone);
    assert.equal(currentVisit([{ ...visit, fields: {} }], new Date('2027-01-01T00:00:00')), null, zone);
  }
});

test('a typed time keeps the offset of the place', () => {
  be('Asia/Tokyo');
  assert.equal(typedTime('2026-12-31T23:40', IN_ROME), '2026-12-31T23:40:00+01:00');
  assert.equal(typedTime('2026-12-31T23:40', '2026-12-31T22:50:07.123Z'), '2026-12-31T23:40:00Z');
  assert.equal(typedTime('2026-12-31T23:40', '2026-12-31T23:50:07.1+09:00'), '2026-12-31T23:40:00+09:00');
  assert.equal(typedTime('2026-12-31T23:40', undefined), '2026-12-31T23:40:00+09:00');
});

test('a typed time at home follows summer time', () => {
  be('Europe/Rome');
  assert.equal(typedTime('2026-07-01T20:15', IN_ROME), '2026-07-01T20:15:00+02:00');
});

test('a guest guesses by the year of the own calendar', () => {
  be('America/Los_Angeles');
  const glass = /** @type {any} */ ({ id: 'a', bottle: { vintage: 2020 }, uncovered: true });
  const view = { now_ms: Date.parse('2027-01-01T05:00:00Z'), table: {}, glasses: [glass] };
  assert.equal(ownGuesses(view, glass, { guess_age_years: 6 })[0]?.verdict, 'right');
});

test('the name of a copy has the day of the phone', async () => {
  be('America/Los_Angeles');
  await emptyBook();
  mock.timers.enable({ apis: ['Date'], now: Date.parse('2026-12-01T05:00:00Z') });
  assert.equal((await writeArchive()).name, 'second-nose-2026-11-30.zip');
});
