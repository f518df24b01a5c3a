import assert from 'node:assert/strict';
import test from 'node:test';
import { joinEntries, updateEntries } from '../../static/domain/search_entries.js';

/** @param {number} seed */
function randomOf(seed) {
  let state = seed;
  return (/** @type {number} */ below) => {
    state = (state * 1_103_515_245 + 12_345) % 2_147_483_648;
    return Math.floor((state / 2_147_483_648) * below);
  };
}

const unknown = /** @type {any} */ ({ id: null, text: 'unknown', merged_into: null });
const dayOf = (/** @type {number} */ n) => (n ? `2026-01-${String(n).padStart(2, '0')}` : '');

/** @param {(below: number) => number} draw */
const tastingOf = (draw) =>
  /** @type {any} */ ({ at: dayOf(draw(20)), bottle: `b${draw(12)}`, visit: `v${draw(5)}`, text: `t${draw(99)}` });

/** @param {string} id @param {(below: number) => number} draw @param {boolean} merges */
const bottleOf = (id, draw, merges) =>
  /** @type {any} */ ({ id, text: `w${draw(99)}`, merged_into: merges && draw(4) === 0 ? `b${draw(12)}` : null });

/** Change some records at random, as several writes would. */
function changeSome(
  /** @type {any} */ from,
  /** @type {(below: number) => number} */ draw,
  /** @type {boolean} */ merges,
) {
  const changes = { tastings: new Set(), bottles: new Set(), visits: new Set() };
  for (let count = draw(4); count >= 0; count -= 1) {
    const kind = /** @type {const} */ (['tastings', 'bottles', 'visits'])[draw(3)] ?? 'tastings';
    const id = `${kind[0]}${draw(kind === 'tastings' ? 40 : 12)}`;
    changes[kind].add(id);
    if (draw(4) === 0) from[kind].delete(id);
    else if (kind === 'tastings') from.tastings.set(id, tastingOf(draw));
    else if (kind === 'bottles') from.bottles.set(id, bottleOf(id, draw, merges));
    else from.visits.set(id, `p${draw(99)}`);
  }
  return /** @type {any} */ (changes);
}

for (const merges of [false, true]) {
  test(`updated entries equal newly joined ones, ${merges ? 'with' : 'without'} merges`, () => {
    const draw = randomOf(merges ? 7 : 11);
    const from = { tastings: new Map(), bottles: new Map(), visits: new Map(), unknown };
    let entries = joinEntries(from);
    for (let round = 0; round < 400; round += 1) {
      const changes = changeSome(from, draw, merges);
      entries = updateEntries(entries, from, changes);
      assert.deepEqual(entries, joinEntries(from));
    }
  });
}

test('an update keeps the entries that it does not concern', () => {
  const tastings = new Map(
    ['t1', 't2'].map((id, at) => [id, { at: dayOf(at + 1), bottle: `b${at}`, visit: null, text: id }]),
  );
  const from = /** @type {any} */ ({ tastings, bottles: new Map(), visits: new Map(), unknown });
  const before = joinEntries(from);
  from.bottles.set('b0', { id: 'b0', text: 'named', merged_into: null });
  const after = updateEntries(before, from, { tastings: new Set(), bottles: new Set(['b0']), visits: new Set() });
  assert.equal(after[0], before[0]);
  assert.equal(after[1]?.text, 'named t1 ');
  assert.notEqual(after, before);
});

test('entries of a day are by instant, and days stay together', () => {
  const times = ['2026-10-25T02:40:00+02:00', '2026-10-25T02:10:00+01:00', '2026-10-26T08:00:00+09:00', ''];
  const tastings = new Map(times.map((at, n) => [`t${n}`, { at, bottle: null, visit: null, text: '' }]));
  const from = /** @type {any} */ ({ tastings, bottles: new Map(), visits: new Map(), unknown });
  assert.deepEqual(
    joinEntries(from).map(({ id }) => id),
    ['t2', 't1', 't0', 't3'],
  );
});
