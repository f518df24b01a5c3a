// Answers that came by QR codes: what was noted before its step closed counts, as on the server.
import assert from 'node:assert/strict';
import test from 'node:test';
import { clockOffset, lastInTime, thinned } from '../../static/domain/table/noted_times.js';
import { takenAnswers } from '../../static/domain/table/qr_scanned.js';
import { sheetId } from '../../static/domain/table/sheet_id.js';

const MINUTE = 60_000;
const NOW = Date.parse('2026-11-28T20:00:00Z');
const GUEST = '01900000-0000-7000-8000-000000000009';

/** @param {string} kind @param {string} id @param {Record<string, any>} fields */
const row = (kind, id, fields) => ({ kind, id, fields, clocks: {}, deleted: false, deleted_clock: null, gone: 0 });
const moment = (/** @type {number} */ ms) => new Date(ms).toISOString();

/** @param {Record<string, any>} [glass] @param {Record<string, any>} [stored] @param {Record<string, any>} [head] */
function recordsOf(glass = {}, stored = undefined, head = {}) {
  const sheet = { glass: 'g0', guest: GUEST, ...stored };
  return /** @type {any} */ ({
    row: row('group_tasting', 't', { steps: ['sip_1', 'verdict'], ...head }),
    glasses: [row('glass', 'g0', { position: 1, ...glass }), row('glass', 'g1', { position: 2 })],
    guests: [],
    sheets: stored ? [row('sheet', sheetId(GUEST, 'g0'), sheet)] : [],
    bottles: new Map(),
    asked: true,
  });
}

/** @param {Record<string, [any, number][]>} given values and times by field @param {any} [more] */
function scannedOf(given, more = {}) {
  const fields = Object.entries(given).map(
    ([field, entries]) => /** @type {const} */ ([field, entries.map(([value, ms]) => ({ value, ms }))]),
  );
  const sheets = new Map([['g0', new Map(fields)]]);
  return { table: 't', guest: GUEST, name: 'Ada', sheets, flight: null, shown_ms: NOW, refused: 0, ...more };
}

test('the letters of a word are one value, and the last one stays', () => {
  const typed = [1, 2, 3].map((at) => ({ value: 'abc'.slice(0, at), ms: at * 500 }));
  assert.deepEqual(thinned(typed), [{ value: 'abc', ms: 1_500 }]);
  const apart = [1, 2, 3, 4, 5, 6].map((at) => ({ value: at, ms: at * MINUTE }));
  assert.deepEqual(
    thinned(apart).map(({ value }) => value),
    [3, 4, 5, 6],
  );
});

test('a clock that may be right is left as it is', () => {
  // Made at 100, read at 130; shown at 500, read at 540.
  assert.equal(clockOffset({ leader_ms: 100, guest_ms: 130 }, 500, 540), 0);
  assert.equal(clockOffset(null, null, 540), 0);
});

test('a clock that must be wrong is corrected as far as known', () => {
  // The guest read the flight an hour before it was made: the clock is behind.
  assert.equal(clockOffset({ leader_ms: 60 * MINUTE, guest_ms: 0 }, 10 * MINUTE, 71 * MINUTE), 60 * MINUTE);
  // The answers were read before they were shown: the clock is ahead.
  assert.equal(clockOffset(null, 90 * MINUTE, 30 * MINUTE), -60 * MINUTE);
});

test('what was noted before the step closed counts', () => {
  const entries = [
    { value: 4, ms: 10 },
    { value: 8, ms: 30 },
  ];
  assert.deepEqual(lastInTime(entries, 20, 100), { entry: entries[0], isLate: true });
  assert.deepEqual(lastInTime(entries, 30, 100), { entry: entries[1], isLate: false });
  assert.deepEqual(lastInTime(entries, null, 100), { entry: entries[1], isLate: false });
  assert.deepEqual(lastInTime(entries, 5, 100), { entry: null, isLate: true });
  // A time in the future counts as now.
  assert.deepEqual(lastInTime([{ value: 4, ms: 500 }], 100, 100).isLate, false);
});

test('scanned answers after the closing are left out and counted', () => {
  const records = recordsOf({ closed_verdict_at: moment(NOW - 5 * MINUTE) });
  const scanned = scannedOf({
    liking: [
      [4, NOW - 9 * MINUTE],
      [8, NOW - MINUTE],
    ],
    would_buy: [['yes', NOW - MINUTE]],
    acidity: [[6, NOW - MINUTE]],
  });
  assert.deepEqual(takenAnswers(records, scanned, 1, NOW), {
    sheets: [['g0', { acidity: 6, liking: 4 }]],
    late: 2,
  });
});

test('a clock that is behind does not let late answers in', () => {
  const closed = NOW - 5 * MINUTE;
  const records = recordsOf({ closed_verdict_at: moment(closed) });
  const behind = 60 * MINUTE;
  const given = { liking: /** @type {[any, number][]} */ ([[8, closed + MINUTE - behind]]) };
  const flight = { leader_ms: NOW - 30 * MINUTE, guest_ms: NOW - 30 * MINUTE - behind };
  const honest = scannedOf(given, { flight, shown_ms: NOW - behind });
  assert.equal(takenAnswers(records, honest, 1, NOW).late, 1);
});

test('an answer removed in time is removed, later it stays', () => {
  const closed = { closed_verdict_at: moment(NOW - 5 * MINUTE) };
  const stored = { liking: 4, words: 'thin' };
  const early = scannedOf({ liking: [[null, NOW - 6 * MINUTE]], words: [['thin', NOW - 7 * MINUTE]] });
  assert.deepEqual(takenAnswers(recordsOf(closed, stored), early, 1, NOW).sheets, [
    ['g0', { liking: null, words: 'thin' }],
  ]);
  const late = scannedOf({ liking: [[null, NOW - MINUTE]] });
  assert.deepEqual(takenAnswers(recordsOf(closed, stored), late, 1, NOW), { sheets: [['g0', {}]], late: 1 });
  // Gone from the codes, with no time: it stays where the step is closed.
  assert.deepEqual(takenAnswers(recordsOf(closed, stored), scannedOf({}), 1, NOW).sheets, [['g0', {}]]);
  assert.deepEqual(takenAnswers(recordsOf({}, stored), scannedOf({}), 1, NOW).sheets, [
    ['g0', { liking: null, words: null }],
  ]);
});

test('the talk, the label and the end close what came by codes', () => {
  const at = moment(NOW - 5 * MINUTE);
  const scanned = scannedOf({ liking: [[8, NOW - MINUTE]] });
  for (const records of [
    recordsOf({ discussed_at: at }),
    recordsOf({ uncovered_at: at }),
    recordsOf({}, undefined, { ended_at: at }),
  ])
    assert.deepEqual(takenAnswers(records, scanned, 1, NOW), { sheets: [['g0', {}]], late: 1 });
  const shown = recordsOf({ uncovered_at: at }, undefined, { labels_hidden: false });
  assert.equal(takenAnswers(shown, scanned, 1, NOW).late, 0);
});
