/**
 * A guest's own notes as records of this phone's notebook, or as a file. Only wines whose labels were uncovered become
 * records; ids are hashes, so that taking notes away twice changes nothing.
 */
import record from '../../spec/record.json' with { type: 'json' };
import { plainText } from '../../lib/plain_text.js';
import { timestamp } from '../../lib/datetime.js';
import { bottlesById } from '../../store/queries.js';
import { saveMany } from '../../store/write.js';
import { aromaIds } from '../aroma/entry.js';
import { hashedId } from '../table/sheet_id.js';
import { glassesOf, glassMark, isClosed, stepsOf } from './place.js';

/** @typedef {import('./guest_store.js').Seat} Seat */
/** @typedef {import('./place.js').GuestGlass} GuestGlass */
/** @typedef {import('./answers.js').Answer} Answer */
/**
 * @typedef {{ glass: GuestGlass, values: Record<string, any>, firstMs: number, same_as: string | null }} OwnNote
 *   same_as: mark of the glass that the guest took for the same wine
 */
/** @typedef {{ kind: 'visit' | 'bottle' | 'tasting', id: string, fields: Record<string, any> }} Edit */

const TASTING_FIELDS = Object.keys(record.kinds.tasting.fields);

/**
 * @param {Seat} seat
 * @param {(glass: string) => Record<string, any>} valuesOf
 * @param {Map<string, Answer[]>} answers by glass
 * @param {(glass: string) => Record<string, string>} [typedOf] own words that were typed and not added, by field
 * @returns {OwnNote[]} of the glasses that the guest noted anything of, in the order of tasting
 */
export function ownNotes({ view, opened_ms }, valuesOf, answers, typedOf = () => ({})) {
  return glassesOf(view).flatMap((glass) => {
    const mine = answers.get(glass.id) ?? [];
    const values = withTyped({ ...valuesOf(glass.id), ...lateValues(mine) }, typedOf(glass.id));
    const filled = Object.fromEntries(
      Object.entries(values).filter(([field, value]) => value !== null && TASTING_FIELDS.includes(field)),
    );
    if (!Object.keys(filled).length) return [];
    const times = mine
      .flatMap(({ entries, accepted }) => [...entries, ...(accepted ? [accepted] : [])])
      .map(({ ms }) => ms);
    const other = glassesOf(view).find(({ id }) => id === values['guess_same_as']);
    const same_as = other ? glassMark(other) : null;
    return [{ glass, values: filled, firstMs: times.length ? Math.min(...times) : opened_ms, same_as }];
  });
}

/** Return what came too late for the table, which is still the guest's own note. @param {Answer[]} answers */
function lateValues(answers) {
  return Object.fromEntries(answers.flatMap(({ field, late }) => (late ? [[field, late.value]] : [])));
}

/** @param {Record<string, any>} values @param {Record<string, string>} typed @returns {Record<string, any>} */
function withTyped(values, typed) {
  const added = Object.entries(typed).filter(([field, entry]) => !aromaIds(values[field]).includes(entry));
  return {
    ...values,
    ...Object.fromEntries(added.map(([field, entry]) => [field, [...(values[field] ?? []), entry]])),
  };
}

/**
 * @param {Seat} seat
 * @param {OwnNote[]} notes
 * @param {number} nowMs the server's time
 * @returns {{ now: OwnNote[], later: OwnNote[] }} those that can go into the notebook, now or once their glass takes no
 *   more answers, as a later answer would not reach the notebook
 */
export function takeable(seat, notes, nowMs) {
  const left = notes.filter(({ glass }) => glass.bottle && !seat.taken.includes(glass.id));
  const now = left.filter(({ glass }) => isFinal(seat, glass, nowMs));
  return { now, later: left.filter((note) => !now.includes(note)) };
}

/** @param {Seat} seat @param {GuestGlass} glass @param {number} nowMs @returns {boolean} takes no answers any more */
function isFinal({ state, origin, view }, glass, nowMs) {
  // A table that came as QR codes never tells that a step has closed.
  if (origin === 'qr' || state !== 'in') return true;
  return stepsOf(view).every((step) => isClosed(view, glass, step, nowMs));
}

/**
 * @param {Seat} seat
 * @param {OwnNote[]} notes with their labels
 * @param {(bottle: Record<string, any>) => string | null} known id of the same bottle in the notebook
 * @returns {Edit[]} a visit, bottles and tastings
 */
export function notebookEdits({ table, guest, view }, notes, known) {
  const { name, leader_name: leader, on, labels_hidden: hidden, ended_at } = view['table'];
  const visit = hashedId(`visit:${guest.id}:${table}`);
  const first = Math.min(...notes.map(({ firstMs }) => firstMs));
  const end = ended_at ?? timestamp();
  const bottles = new Map(
    notes.map(({ glass }) => [
      bottleKey(glass),
      known(glass.bottle ?? {}) ?? hashedId(`bottle:${guest.id}:${bottleKey(glass)}`),
    ]),
  );
  return [
    {
      kind: 'visit',
      id: visit,
      fields: { name: name || leader || null, on: on ?? timestamp(new Date(first)).slice(0, 10), ended_at: end },
    },
    ...notes
      .filter(({ glass }) => !known(glass.bottle ?? {}))
      .map(({ glass }) => ({
        kind: /** @type {const} */ ('bottle'),
        id: String(bottles.get(bottleKey(glass))),
        fields: Object.fromEntries(Object.entries(glass.bottle ?? {}).filter(([, value]) => value !== null)),
      })),
    ...notes.map(({ glass, values, firstMs }) => ({
      kind: /** @type {const} */ ('tasting'),
      id: hashedId(`tasting:${guest.id}:${glass.id}`),
      fields: {
        ...ofTasting(values),
        bottle: bottles.get(bottleKey(glass)) ?? null,
        visit,
        tasted_at: timestamp(new Date(firstMs)),
        closed_at: end,
        ...(glass.mark ? { flight_mark: glass.mark } : {}),
        ...(hidden ? { label_hidden: true, guesses_locked_at: end, uncovered_at: end } : {}),
      },
    })),
  ];
}

/**
 * Leave out what only a sheet has.
 * @param {Record<string, any>} values
 */
function ofTasting(values) {
  return Object.fromEntries(Object.entries(values).filter(([field]) => field !== 'guess_same_as'));
}

/** Return a key of the bottle, which two glasses of the same wine share. @param {GuestGlass} glass */
function bottleKey({ id, same_as: other }) {
  return other && other < id ? other : id;
}

/**
 * Write notes into this phone's notebook, all or none.
 * @param {Seat} seat
 * @param {OwnNote[]} notes with their labels
 */
export async function takeIntoNotebook(seat, notes) {
  if (!notes.length) return;
  const known = [...(await bottlesById()).values()].filter(
    ({ gone, fields }) => !gone && !fields['merged_into'] && !fields['covered'],
  );
  const same = new Map(known.map(({ id, fields }) => [labelKey(fields), id]));
  await saveMany(notebookEdits(seat, notes, (bottle) => same.get(labelKey(bottle)) ?? null));
}

/** @param {Record<string, any>} bottle @returns {string} equal for the same wine and vintage */
function labelKey({ name, producer, vintage, non_vintage: without }) {
  return JSON.stringify([plainText(name ?? ''), plainText(producer ?? ''), vintage ?? null, without === true]);
}

/** @param {Seat} seat @param {OwnNote[]} notes @returns {string} JSON of the guest's own notes */
export function notesAsJson({ guest, view }, notes) {
  const { name, leader_name, ended_at } = view['table'] ?? {};
  const glasses = notes.map(({ glass: { mark, position, bottle }, values, firstMs }) => ({
    mark,
    position,
    noted_at: timestamp(new Date(firstMs)),
    bottle: bottle ?? null,
    notes: values,
  }));
  return JSON.stringify({ table: { name, leader_name, ended_at }, guest: guest.name, glasses }, null, 1);
}
