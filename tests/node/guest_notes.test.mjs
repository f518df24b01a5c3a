// A guest's own notes as a text file, and the leader's own notes as tastings.
import assert from 'node:assert/strict';
import test from 'node:test';
import { notesAsText, withoutLabelText } from '../../static/domain/guest/notes_text.js';
import { ownNotes, takeable } from '../../static/domain/guest/take_away.js';
import { ownTastings } from '../../static/domain/table/own_notes.js';
import './english.mjs';

const NOW = '2026-11-28T22:00:00+01:00';
const VIEW = {
  table: { on: '2026-11-28', leader_name: 'Greta', ended_at: NOW },
  glasses: [
    { id: 'a', mark: 'A', position: 1, closed: {}, bottle: { name: 'Torre Quarzo', vintage: 2019, label_abv: 13.5 } },
    { id: 'b', mark: 'B', position: 2, closed: {} },
  ],
};
/** @type {Record<string, any>} */
const VALUES = {
  a: { acidity: 6, just_right_acidity: 0, just_right_body: 1 },
  b: { liking: 7, guess_same_as: 'a', first_nose_words: ['lemon:3', '~wet dog'], finish_s: 18, guess_abv: 12.5 },
};

test('the text says when, with whom, and what is on the label', () => {
  const notes = ownNotes(
    /** @type {any} */ ({ view: VIEW, opened_ms: Date.parse(NOW) }),
    (glass) => VALUES[glass],
    new Map(),
  );
  assert.equal(
    notesAsText('Friday reds', notes, VIEW),
    [
      'Friday reds\n28 Nov 2026 · hosted by Greta',
      'Glass A: Torre Quarzo 2019\nOn the label: 13.5%.\nAcidity: 6 (just right)\nBody: too much',
      [
        'Glass B\nFirst nose: lemon (strong), wet dog\nFinish: 18 seconds',
        'How much do you like it?: 7 (like moderately)\nGuess: alcohol: 12.5%\nGuess: the same wine as: A',
      ].join('\n'),
    ].join('\n\n'),
  );
});

/** @param {Record<string, any>} head @param {Record<string, any>} [glass] @returns {any} */
function tableOf(head, glass = {}) {
  const row = (/** @type {string} */ kind, /** @type {string} */ id, /** @type {any} */ fields) => ({
    kind,
    id,
    fields,
  });
  return {
    row: row('group_tasting', 't', { name: 'Friday', on: '2026-11-28', ...head }),
    glasses: [row('glass', 'a', { mark: 'A', bottle: 'x', ...glass }), row('glass', 'b', { mark: 'B', bottle: 'y' })],
    guests: [row('guest', 'ada', { entry: 'phone' }), row('guest', 'greta', { entry: 'leader' })],
    sheets: [
      row('sheet', '1', { guest: 'greta', glass: 'a', liking: 8, guess_same_as: 'b', words: null, tasted_at: NOW }),
      row('sheet', '2', { guest: 'greta', glass: 'b', liking: null }),
      row('sheet', '3', { guest: 'ada', glass: 'b', liking: 3 }),
    ],
    bottles: new Map(),
  };
}

test('only the leader’s own sheets with answers become tastings', () => {
  const [visit, tasting, ...more] = ownTastings(tableOf({ labels_hidden: false }), NOW);
  assert.deepEqual(more, []);
  assert.deepEqual(visit?.fields, { name: 'Friday', on: '2026-11-28', ended_at: NOW });
  assert.deepEqual(tasting?.fields, {
    liking: 8,
    bottle: 'x',
    visit: visit?.id,
    tasted_at: NOW,
    closed_at: NOW,
    flight_mark: 'A',
  });
  assert.deepEqual(ownTastings({ ...tableOf({}), guests: [] }, NOW), []);
});

test('what was tasted blind is marked as such', () => {
  const uncovered = '2026-11-28T21:00:00+01:00';
  const [, tasting] = ownTastings(tableOf({ labels_hidden: true }, { uncovered_at: uncovered }), NOW);
  assert.equal(tasting?.fields['label_hidden'], true);
  assert.equal(tasting?.fields['uncovered_at'], uncovered);
  for (const head of [{ labels_hidden: true }, {}]) {
    const [, covered] = ownTastings(tableOf(head), NOW);
    assert.equal(covered?.fields['uncovered_at'], NOW);
  }
});

test('a glass that takes answers is kept for later', () => {
  const view = {
    table: { steps: ['look', 'verdict'] },
    glasses: [
      { id: 'a', position: 1, closed: { look: 10, verdict: 20 }, bottle: {} },
      { id: 'b', position: 2, closed: { look: 30 }, bottle: {} },
      { id: 'c', position: 3, closed: {}, discussed: true, bottle: {} },
      { id: 'd', position: 4, closed: { look: 10, verdict: 20 } },
    ],
  };
  const seat = /** @type {any} */ ({ view, state: 'in', origin: 'server', taken: [], opened_ms: 1 });
  const notes = ownNotes(seat, () => ({ liking: 7 }), new Map());
  const ids = (/** @type {any} */ more, nowMs = 21) => {
    const { now, later } = takeable({ ...seat, ...more }, notes, nowMs);
    return [now, later].map((some) => some.map(({ glass }) => glass.id).join(''));
  };
  assert.deepEqual(ids({}), ['ac', 'b']);
  assert.deepEqual(ids({ taken: ['a'] }), ['c', 'b']);
  // The leader went on, and the last step stays open for some seconds.
  assert.deepEqual(ids({}, 20), ['c', 'ab']);
  assert.deepEqual(ids({ view: { ...view, table: { ...view.table, ended_at: NOW } } }, 0), ['abc', '']);
  for (const state of ['removed', 'left', 'over']) assert.deepEqual(ids({ state }, 0), ['abc', '']);
  assert.deepEqual(ids({ origin: 'qr' }, 0), ['abc', '']);
});

test('a phone that joined by QR codes calls no glass covered', () => {
  assert.equal(
    withoutLabelText({ origin: 'server' }, 2),
    '2 glasses are still covered; their notes can only go in a file.',
  );
  assert.match(withoutLabelText({ origin: 'qr' }, 2), /^The names of the wines aren’t on this phone/);
});
