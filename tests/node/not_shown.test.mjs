// The day of a tasting, what is left to show when the leader goes on or ends, and how long answers are waited for.
import assert from 'node:assert/strict';
import test from 'node:test';
import { isFresh, start } from '../../static/domain/table/flow.js';
import { leftGlass, leftUnshown, showAll } from '../../static/domain/table/not_shown.js';

const NOW = '2026-11-28T20:00:00+01:00';
const NOW_MS = Date.parse(NOW);

/** @param {string} id @param {Record<string, any>} fields */
const row = (id, fields) => ({ id, fields, clocks: {}, deleted: false, deleted_clock: null, gone: 0 });

/**
 * A table of three glasses; the last step of the second is open.
 * @param {Record<string, any>} [head]
 * @param {Record<string, any>[]} [glasses]
 * @param {string[]} [guests]
 * @param {string[]} [answered] glasses
 */
function tableOf(head = {}, glasses = [{ closed_verdict_at: NOW }, {}, {}], guests = ['ada'], answered = []) {
  const open = { steps: ['verdict'], pace: 'led', open_glass: 'g1', open_step: 'verdict' };
  return /** @type {any} */ ({
    row: row('t', { ...open, ...head }),
    glasses: glasses.map((fields, at) => row(`g${at}`, { position: at + 1, ...fields })),
    guests: guests.map((id, at) => row(id, { number: at + 1, entry: 'phone' })),
    sheets: answered.map((glass) => row(glass, { guest: 'ada', glass, liking: 7 })),
    bottles: new Map(),
    asked: true,
  });
}

/** @param {any} table @returns {string[]} the glasses whose answers are laid open */
const laidOpen = (table) => showAll(table, NOW).flatMap(({ id, fields }) => (fields['discussed_at'] ? [id] : []));

test('all is shown of glasses whose answers are on their way', () => {
  assert.deepEqual(laidOpen(tableOf()), ['g0', 'g1']);
  assert.deepEqual(laidOpen(tableOf({}, [{ discussed_at: NOW }, {}, {}])), ['g1']);
  assert.deepEqual(laidOpen(tableOf({}, [{ closed_verdict_at: null }, {}, {}])), ['g1']);
  assert.deepEqual(laidOpen(tableOf({}, [{}, {}, {}], ['ada'], ['g2'])), ['g1', 'g2']);
  assert.deepEqual(laidOpen(tableOf({ pace: 'free' })), ['g0', 'g1', 'g2']);
  assert.deepEqual(laidOpen(tableOf({ order: 'balanced' })), ['g0', 'g1', 'g2']);
  assert.deepEqual(laidOpen(tableOf({}, [{}, {}, {}], [])), []);
});

test('a glass is left when the next step is of another one', () => {
  const next = { glass: 'g2', step: 'verdict' };
  assert.equal(leftGlass(tableOf(), next), 'g1');
  assert.equal(leftGlass(tableOf(), null), 'g1');
  assert.equal(leftGlass(tableOf(), { ...next, glass: 'g1' }), null);
  assert.equal(leftGlass(tableOf({ order: 'balanced' }), next), null);
  assert.equal(leftUnshown(tableOf(), next), null);
  assert.equal(leftUnshown(tableOf({}, [{}, {}, {}], ['ada'], ['g1']), next)?.id, 'g1');
});

test('answers are awaited until a day after the end', () => {
  const day_ms = 24 * 60 * 60 * 1000;
  assert.equal(isFresh(tableOf(), NOW_MS + 9 * day_ms), true);
  assert.equal(isFresh(tableOf({ ended_at: NOW }), NOW_MS + day_ms - 1), true);
  assert.equal(isFresh(tableOf({ ended_at: NOW }), NOW_MS + day_ms), false);
});

test('a tasting is of the day on which it starts', () => {
  const startedOn = (/** @type {string} */ on) => start(tableOf({ on }), NOW)[0]?.fields['on'];
  assert.equal(startedOn('2026-11-20'), '2026-11-28');
  assert.equal(startedOn('2026-11-28'), undefined);
});
