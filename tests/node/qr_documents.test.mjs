import assert from 'node:assert/strict';
import test from 'node:test';
import { flightDocument, readSheets, sheetsDocument, viewOfFlight } from '../../static/domain/table/qr_documents.js';
import { consentFields } from '../../static/domain/table/qr_scanned.js';
import {
  isClosed,
  ledPlace,
  neighbour,
  nextClosing,
  reachedSteps,
  resumedPlace,
} from '../../static/domain/guest/place.js';
import { notebookEdits, ownNotes, takeable } from '../../static/domain/guest/take_away.js';

const id = (/** @type {number} */ at) => `01900000-0000-7000-8000-00000000000${at}`;
const GLASSES = [
  { id: id(1), mark: 'A' },
  { id: id(2), mark: 'B' },
];
const HEAD = {
  name: 'Monday',
  leader_name: 'Greta',
  steps: ['verdict', 'look'],
  guidance_look: 'Look.',
  words: 'secret',
};

test('a flight becomes a guest’s view, without leader’s notes', () => {
  const flight = flightDocument(id(0), HEAD, GLASSES);
  assert.ok(!JSON.stringify(flight).includes('secret'));
  const view = viewOfFlight(flight);
  assert.deepEqual(view?.['table'].steps, ['look', 'verdict']);
  assert.deepEqual(view?.['table'].guidance, { look: 'Look.' });
  assert.deepEqual(
    view?.['glasses'].map((/** @type {any} */ glass) => [glass.id, glass.mark, glass.position]),
    [
      [id(1), 'A', 1],
      [id(2), 'B', 2],
    ],
  );
});

test('a flight asks for guesses about covered glasses only', () => {
  /** @param {Record<string, any>} more */
  const asks = (more) => viewOfFlight(flightDocument(id(0), { ...HEAD, ...more }, GLASSES))?.['table'].ask_guesses;
  assert.equal(asks({ labels_hidden: true }), true);
  assert.equal(asks({ labels_hidden: true, ask_guesses: false }), false);
  assert.equal(asks({ labels_hidden: false }), false);
  assert.equal(asks({ labels_hidden: true, steps: ['look'] }), false);
});

test('a flight tells whether it is led, and by whose clock', () => {
  const led = viewOfFlight(flightDocument(id(0), { ...HEAD, pace: 'led' }, GLASSES, 2_000), 5_000);
  assert.deepEqual(led?.['flight'], { is_led: true, leader_ms: 2_000, guest_ms: 5_000 });
  const free = viewOfFlight({ ...flightDocument(id(0), { ...HEAD, pace: 'free' }, GLASSES), made_ms: 'x' }, 5_000);
  assert.deepEqual(free?.['flight'], { is_led: false });
});

test('what is no flight gives no view', () => {
  const flight = flightDocument(id(0), HEAD, GLASSES);
  for (const wrong of [null, 1, {}, { ...flight, glasses: [] }, { ...flight, table: 'x' }, { ...flight, version: 2 }])
    assert.equal(viewOfFlight(wrong), null);
});

const CLOCKS = { now_ms: 1_000_000 };

/** @param {Record<string, any>} fields @param {Record<string, any[]>} [entries] */
const sheetOf = (fields, entries = {}) => ({ glass: id(1), fields, entries: new Map(Object.entries(entries)) });

test('sheets keep valid answers only', () => {
  const fields = { liking: 7, acidity: 99, words: null, with_whom: 'Ada', group_tasting: id(5) };
  const read = readSheets(sheetsDocument(id(0), { id: id(9), name: ' Ada ' }, [sheetOf(fields)], CLOCKS));
  assert.equal(read?.name, 'Ada');
  assert.deepEqual([...(read?.sheets.get(id(1)) ?? [])], [['liking', [{ value: 7, ms: Infinity }]]]);
  assert.equal(read?.refused, 3);
});

test('sheets tell when each value was noted, and what was removed', () => {
  const entries = {
    liking: [
      { value: 4, ms: 900_000 },
      { value: 8, ms: 960_000 },
    ],
    words: [{ value: null, ms: 970_000 }],
  };
  const document = sheetsDocument(id(0), { id: id(9), name: 'Ada' }, [sheetOf({ liking: 8 }, entries)], {
    ...CLOCKS,
    flight: { leader_ms: 5, guest_ms: 6 },
  });
  const read = readSheets(JSON.parse(JSON.stringify(document)));
  assert.deepEqual(Object.fromEntries(read?.sheets.get(id(1)) ?? []), entries);
  assert.deepEqual([read?.flight, read?.shown_ms], [{ leader_ms: 5, guest_ms: 6 }, 1_000_000]);
});

test('a consent travels with its time, by the leader’s clock', () => {
  /** @param {{ agreed: boolean, ms: number } | null} consent @param {Record<string, any>} [more] */
  const scan = (consent, more = {}) => {
    const document = sheetsDocument(id(0), { id: id(9), name: 'Ada' }, [], { ...CLOCKS, consent });
    const read = readSheets({ ...JSON.parse(JSON.stringify(document)), ...more });
    return read && consentFields(read, {}, 1_000_000);
  };
  assert.deepEqual(scan(null), {});
  assert.equal(Date.parse(scan({ agreed: true, ms: 940_000 })?.['agreed_at']), 940_000);
  for (const consent of [[1, 5], [true, -5], [true, 'x'], [true], 'yes']) assert.deepEqual(scan(null, { consent }), {});
  const withdrawn = readSheets(
    sheetsDocument(id(0), { id: id(9), name: 'Ada' }, [], { ...CLOCKS, consent: { agreed: false, ms: 5 } }),
  );
  assert.ok(withdrawn);
  assert.deepEqual(consentFields(withdrawn, {}, 1_000_000), {});
  assert.deepEqual(consentFields(withdrawn, { agreed_at: 'x' }, 1_000_000), { agreed_at: null, person: null });
});

test('values that were made up are refused one by one', () => {
  const document = sheetsDocument(id(0), { id: id(9), name: 'Ada' }, [sheetOf({ liking: 8 })], CLOCKS);
  const noted = { [id(1)]: { liking: [[5, 99], ['x', 3], [0, 8], 7], acidity: 'x', guest: [[1, id(9)]] } };
  const read = readSheets({ ...document, noted });
  assert.deepEqual(Object.fromEntries(read?.sheets.get(id(1)) ?? []), {
    liking: [{ value: 8, ms: 1_000_000 }],
    acidity: [{ value: null, ms: Infinity }],
  });
  assert.equal(read?.refused, 2);
  for (const wrong of [[], 7, { [id(1)]: 7 }]) assert.equal(readSheets({ ...document, noted: wrong })?.sheets.size, 1);
});

test('what is no sheet gives nothing', () => {
  const sheets = sheetsDocument(id(0), { id: id(9), name: 'Ada' }, [], CLOCKS);
  for (const wrong of [null, [], { ...sheets, guest: '' }, { ...sheets, sheets: [] }, { ...sheets, kind: 'flight' }])
    assert.equal(readSheets(wrong), null);
});

/** @param {Record<string, any>} [table] @returns {any} */
function viewWith(table = {}) {
  return { ...viewOfFlight(flightDocument(id(0), HEAD, GLASSES)), table: { id: id(0), steps: HEAD.steps, ...table } };
}

test('a led guest reaches the open step and the closed ones', () => {
  const view = viewWith({ pace: 'led', open_glass: id(1), open_step: 'verdict' });
  view.glasses[0].closed = { look: 1_000 };
  assert.deepEqual(ledPlace(view), { glass: id(1), step: 'verdict' });
  assert.deepEqual(reachedSteps(view, view.glasses[0], {}), ['look', 'verdict']);
  assert.deepEqual(reachedSteps(view, view.glasses[1], {}), []);
  // Without a signal nobody tells what is open, so the guest goes on alone, but not back to glasses before it.
  assert.deepEqual(reachedSteps(view, view.glasses[1], {}, true), ['look', 'verdict']);
  view.glasses[0].closed = {};
  const later = viewWith({ pace: 'led', open_glass: id(2), open_step: 'look' });
  assert.deepEqual(reachedSteps(later, later.glasses[0], {}, true), []);
});

test('a step closes when its moment is over, and with the table', () => {
  const view = viewWith({ pace: 'led', open_glass: id(1), open_step: 'verdict' });
  const [glass] = view.glasses;
  assert.deepEqual([isClosed(view, glass, 'look', 1_000), nextClosing(view, 1_000)], [false, null]);
  glass.closed = { look: 1_000, verdict: 3_000 };
  const closedAt = (/** @type {number} */ now) => ['look', 'verdict'].map((step) => isClosed(view, glass, step, now));
  assert.deepEqual(
    [closedAt(1_000), closedAt(1_001)],
    [
      [false, false],
      [true, false],
    ],
  );
  assert.deepEqual(
    [nextClosing(view, 1_000), nextClosing(view, 1_001), nextClosing(view, 3_001)],
    [1_000, 3_000, null],
  );
  assert.equal(isClosed(view, { ...glass, discussed: true }, 'verdict', 0), true);
  assert.equal(isClosed({ ...view, table: { ...view.table, ended_at: 'now' } }, glass, 'verdict', 0), true);
});

test('a guest at an own pace goes from glass to glass', () => {
  const view = viewWith({ pace: 'free' });
  assert.equal(ledPlace(view), null);
  assert.deepEqual(neighbour(view, { glass: id(1), step: 'verdict' }, 1), { glass: id(2), step: 'look' });
  assert.equal(neighbour(view, { glass: id(2), step: 'verdict' }, 1), null);
  const values = (/** @type {string} */ glass) => (glass === id(1) ? { liking: 5 } : {});
  assert.deepEqual(resumedPlace(view, values), { glass: id(2), step: 'look' });
});

test('notes taken after midnight are of the day of the tasting', () => {
  const view = viewWith({ on: '2026-11-28' });
  view.glasses[0].bottle = { name: 'Rosso' };
  /** @type {any} */
  const seat = { table: id(0), guest: { id: id(9), name: 'Ada' }, view, taken: [], opened_ms: 5 };
  const notes = ownNotes(seat, () => ({ liking: 7 }), new Map()).slice(0, 1);
  const afterMidnight = notes.map((note) => ({ ...note, firstMs: Date.parse('2026-11-29T10:00:00Z') }));
  assert.equal(notebookEdits(seat, afterMidnight, () => null)[0]?.fields['on'], '2026-11-28');
});

test('only uncovered wines go into the notebook', () => {
  const view = viewWith({ labels_hidden: true, name: 'Monday', ended_at: '2026-11-28T22:00:00+01:00' });
  view.glasses[0].bottle = { name: 'Rosso', vintage: 2019, producer: null };
  /** @type {any} */
  const seat = { table: id(0), guest: { id: id(9), name: 'Ada' }, view, taken: [], opened_ms: 5 };
  const notes = ownNotes(seat, () => ({ liking: 7, guess_same_as: id(2) }), new Map());
  assert.equal(notes.length, 2);
  const mine = takeable(seat, notes, 0).now;
  const edits = notebookEdits(seat, mine, () => null);
  assert.deepEqual(
    edits.map(({ kind }) => kind),
    ['visit', 'bottle', 'tasting'],
  );
  assert.deepEqual(edits[1]?.fields, { name: 'Rosso', vintage: 2019 });
  assert.deepEqual([edits[2]?.fields['liking'], edits[2]?.fields['flight_mark']], [7, 'A']);
  assert.ok(!('guess_same_as' in (edits[2]?.fields ?? {})));
  assert.deepEqual(
    notebookEdits(seat, mine, () => null),
    edits,
  );
  assert.equal(notebookEdits(seat, mine, () => id(7))[1]?.fields['bottle'], id(7));
  assert.deepEqual(takeable({ ...seat, taken: [id(1)] }, notes, 0), { now: [], later: [] });
});
