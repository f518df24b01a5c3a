// Finds bottles that are probably duplicates, and merges them without losing data.
import shapes from '../../../spec/record.json' with { type: 'json' };
import { plainText } from '../../../lib/plain_text.js';
import { merge } from '../../../store/merge.js';
import { allWhere, bottle, bottlesById } from '../../../store/queries.js';
import { splitStale } from '../../../store/stale_edits.js';
import { commitEdits, saveMany } from '../../../store/write.js';
import { styleOf } from '../../../domain/style_names.js';
import { vintageText } from '../../../domain/vintage_text.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../store/record.js').Kind} Kind */
/** @typedef {{ kind: Kind, id: string, fields: import('../../../store/record.js').Fields }} Edit */
/** @typedef {{ id: string, fields: import('../../../store/record.js').Fields }} Named */
/** @typedef {import('../../../store/database.js').Delta} Past values with the clocks at which they were written */
/**
 * @typedef {object} Group bottles that are probably the same, with what merging them changes
 * @property {Row[]} rows oldest first
 * @property {(Named & { kind: Kind })[]} references records that refer to one but the first
 * @property {string[]} distinct ids of bottles marked as different from one of them, in either direction
 */

const LONG_ENOUGH = 8;
const MAX_EDITS = 2;
const COMMON_PREFIX = 3;
const MAX_DISTINCT = shapes.kinds.bottle.fields.apart_from.max;

/** @returns {Promise<Group[]>} */
export async function duplicateGroups() {
  const bottles = [...(await bottlesById()).values()];
  return Promise.all(findDuplicates(bottles).map((rows) => groupOf(rows, bottles)));
}

/**
 * Read what merging changes before the tap, because a page that is closed loses an edit that waits for a read.
 * @param {Row[]} rows oldest first
 * @param {Row[]} bottles all
 * @returns {Promise<Group>}
 */
export async function groupOf(rows, bottles) {
  const others = rows.slice(1).map(({ id }) => id);
  const kinds = /** @type {const} */ (['tasting', 'pick', 'stock', 'photo', 'glass']);
  const found = kinds.map(async (kind) =>
    (await allWhere(kind, 'bottle', ...others)).map(({ id, fields }) => ({ kind, id, fields })),
  );
  return { rows, references: (await Promise.all(found)).flat(), distinct: distinctFrom(rows, bottles) };
}

/**
 * Group bottles that are probably the same: equal vintage, no two producers or colours, and names that differ only in
 * case, accents, punctuation or a typo.
 * @param {Row[]} bottles
 * @returns {Row[][]} each group oldest first
 */
export function findDuplicates(bottles) {
  /** @type {Map<string, Row[]>} */
  const blocks = new Map();
  for (const row of bottles) {
    const name = plainName(row);
    if (!name || row.fields['merged_into'] || row.fields['covered']) continue;
    const key = `${vintageText(row.fields) ?? ''}/${name.slice(0, COMMON_PREFIX)}`;
    blocks.set(key, [...(blocks.get(key) ?? []), row]);
  }
  return [...blocks.values()].flatMap(groupsIn);
}

/** @param {Row[]} block @returns {Row[][]} */
function groupsIn(block) {
  /** @type {Row[][]} */
  const groups = [];
  for (const row of [...block].sort((a, b) => (a.id < b.id ? -1 : 1))) {
    const group = groups.find((group) => group.every((other) => isDuplicate(row, other)));
    if (group) group.push(row);
    else groups.push([row]);
  }
  return groups.filter((group) => group.length > 1);
}

/** @param {Row} one @param {Row} other */
function isDuplicate(one, other) {
  if (isMarkedDistinct(one, other) || isMarkedDistinct(other, one)) return false;
  const [producer, otherProducer] = [plain(one.fields['producer']), plain(other.fields['producer'])];
  if (producer && otherProducer && producer !== otherProducer) return false;
  // "Rosso" and "Rosato" are two letters apart.
  const [colour, otherColour] = [colourOf(one), colourOf(other)];
  if (colour && otherColour && colour !== otherColour) return false;
  const [a, b] = [plainName(one), plainName(other)];
  // Different digits in the names mean different wines, not a typo.
  if (a.replace(/\D/g, '') !== b.replace(/\D/g, '')) return false;
  return a === b || (Math.min(a.length, b.length) >= LONG_ENOUGH && levenshtein(a, b) <= MAX_EDITS);
}

/**
 * Tell whether the user has marked the two as different bottles.
 * @param {Row} one
 * @param {Row} other
 */
function isMarkedDistinct(one, other) {
  return (one.fields['apart_from'] ?? []).includes(other.id);
}

/** @param {Row} row @returns {string | null} */
function colourOf({ fields }) {
  return fields['colour'] ?? styleOf(fields['style'])?.colour ?? null;
}

/** @param {Row} row */
function plainName({ fields }) {
  return plain(String(fields['name'] ?? '').replace(vintageText(fields) ?? '', ''));
}

/** @param {string | null | undefined} text */
function plain(text) {
  return plainText(text ?? '').replace(/[^\p{L}\p{N}]/gu, '');
}

/**
 * Count the letters to change, insert or delete to turn one text into the other (Levenshtein 1965).
 * @param {string} one
 * @param {string} other
 */
function levenshtein(one, other) {
  let above = Array.from({ length: other.length + 1 }, (_, at) => at);
  for (let row = 1; row <= one.length; row += 1) {
    const line = [row];
    for (let at = 1; at <= other.length; at += 1) {
      const swap = /** @type {number} */ (above[at - 1]) + (one[row - 1] === other[at - 1] ? 0 : 1);
      line.push(Math.min(swap, /** @type {number} */ (above[at]) + 1, /** @type {number} */ (line[at - 1]) + 1));
    }
    above = line;
  }
  return /** @type {number} */ (above[other.length]);
}

/**
 * Mark the bottles as different, on all devices: each one lists those before it.
 * @param {Row[]} group
 * @returns {Promise<Edit[]>} edits that undo it
 */
export async function markDistinct(group) {
  const pairs = group.slice(1).map((row, at) => ({ row, from: group.slice(0, at + 1).map((other) => other.id) }));
  await saveMany(pairs.map(({ row, from }) => distinctEdit(row, [...(row.fields['apart_from'] ?? []), ...from])));
  return pairs.map(({ row }) => distinctEdit(row, row.fields['apart_from'] ?? []));
}

/** @param {Row} row @param {string[]} from @returns {Edit} */
function distinctEdit(row, from) {
  const ids = [...new Set(from)].slice(-MAX_DISTINCT);
  return { kind: 'bottle', id: row.id, fields: { apart_from: ids.length ? ids : null } };
}

/**
 * Merge the others into the first bottle: it gains the fields that it lacks, and records that refer
 * to the others refer to it. The others are kept, marked as merged.
 * @param {Group} group
 * @returns {Promise<() => Promise<void>>} undoes it
 */
export async function mergeBottles({ rows, references, distinct }) {
  const [survivor, ...others] = rows;
  const [other] = others;
  if (!survivor || !other) return async () => undefined;
  const { past, fields } = gainedBy(survivor, others);
  // The journal keeps no past: a start that replays it writes all values anew.
  const edits = /** @type {Edit[]} */ ([
    { kind: 'bottle', id: survivor.id, fields: { ...fields, ...distinctEdit(survivor, distinct).fields }, past },
    ...others.map((row) => ({ kind: 'bottle', id: row.id, fields: { merged_into: survivor.id } })),
    ...references.map(({ kind, id }) => ({ kind, id, fields: { bottle: survivor.id } })),
  ]);
  await commitEdits(edits, withPast);
  const since = (await bottle(other.id))?.clocks['merged_into'];
  return () => takeBack(edits, [...rows, ...references], since);
}

/**
 * Collect what the survivor lacks. A value keeps its clock, so that a later one of another phone, which had not heard
 * of the merge, supersedes it; it is new where the survivor had been emptied since.
 * @param {Row} survivor
 * @param {Row[]} others
 * @returns {{ past: Past, fields: Row['fields'] }} fields: also those of the past
 */
function gainedBy(survivor, others) {
  /** @type {Past} */
  const past = { fields: {}, clocks: {}, deleted: false, deleted_clock: null };
  /** @type {Row['fields']} */
  const fields = {};
  for (const row of others) {
    for (const [name, value] of Object.entries(row.fields)) {
      const isGained = name in fields || hasValue(survivor.fields[name]);
      if (isGained || !hasValue(value) || ['merged_into', 'apart_from', 'example'].includes(name)) continue;
      fields[name] = value;
      const clock = String(row.clocks[name]);
      if (clock > (survivor.clocks[name] ?? '')) {
        past.fields[name] = value;
        past.clocks[name] = clock;
      }
    }
  }
  return { past, fields };
}

/** @type {import('../../../store/write.js').Part} */
function withPast(record, edit) {
  const past = /** @type {{ past?: Past }} */ (edit).past;
  if (!past || Object.keys(past.fields).length === 0) return { open: edit, past: null, record };
  const { kind, id, fields = {} } = edit;
  const open = { fields: Object.fromEntries(Object.entries(fields).filter(([name]) => !(name in past.fields))) };
  return { open, past, record: merge(record, { kind, id, ...past }).record };
}

/**
 * Give fields their earlier values, except those that another phone has changed since.
 * @param {Edit[]} edits
 * @param {Named[]} before the records as they were
 * @param {string | undefined} since clock of the edits
 */
async function takeBack(edits, before, since = '') {
  const back = edits.map(({ kind, id, fields }) => {
    const was = before.find((row) => row.id === id)?.fields ?? {};
    return {
      kind,
      id,
      fields: Object.fromEntries(Object.keys(fields).map((name) => [name, was[name] ?? null])),
      since,
    };
  });
  await commitEdits(back, (row, edit, stamp) => ({ open: splitStale(row, edit, stamp).open, past: null, record: row }));
}

/**
 * @param {Row[]} group
 * @param {Row[]} bottles all
 * @returns {string[]} bottles marked as different from one of the group, in either direction
 */
function distinctFrom(group, bottles) {
  const ids = new Set(group.map((row) => row.id));
  const naming = bottles
    .filter((row) => (row.fields['apart_from'] ?? []).some((/** @type {string} */ id) => ids.has(id)))
    .map((row) => row.id);
  return [...group.flatMap((row) => row.fields['apart_from'] ?? []), ...naming].filter((id) => !ids.has(id));
}

/** @param {unknown} value */
function hasValue(value) {
  return value !== null && value !== undefined && value !== '' && !(Array.isArray(value) && value.length === 0);
}
