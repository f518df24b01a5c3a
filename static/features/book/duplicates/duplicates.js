// Finds bottles that are probably duplicates, and merges them without losing data.
import shapes from '../../../spec/record.json' with { type: 'json' };
import { plainText } from '../../../lib/plain_text.js';
import { isEqual } from '../../../store/canonical.js';
import { merge } from '../../../store/merge.js';
import { allOf, allWhere, record } from '../../../store/queries.js';
import { commitEdits, saveMany } from '../../../store/write.js';
import { vintageText } from '../../../domain/vintage_text.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../store/record.js').Kind} Kind */
/** @typedef {{ kind: Kind, id: string, fields: import('../../../store/record.js').Fields }} Edit */
/** @typedef {{ id: string, fields: import('../../../store/record.js').Fields }} Named */
/** @typedef {import('../../../store/database.js').Delta} Past values with the clocks at which they were written */

const LONG_ENOUGH = 8;
const MAX_EDITS = 2;
const COMMON_PREFIX = 3;
const MAX_DISTINCT = shapes.kinds.bottle.fields.apart_from.max;

/**
 * Group bottles that are probably the same: equal vintage, no two producers, and names that differ
 * only in case, accents, punctuation or a typo.
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
export function levenshtein(one, other) {
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
 * @param {Row[]} group
 * @returns {Promise<() => Promise<void>>} undoes it
 */
export async function mergeBottles(group) {
  const [survivor, ...others] = group;
  if (!survivor) return async () => undefined;
  const { past, fields } = gainedBy(survivor, others);
  const distinct = distinctEdit(survivor, await distinctFrom(group));
  /** @type {Named[]} */
  const before = [...group];
  /** @type {(Edit & { past?: Past })[]} */
  const edits = [
    { kind: 'bottle', id: survivor.id, fields: { ...fields, ...distinct.fields }, past },
    ...others.map((row) => /** @type {Edit} */ ({ kind: 'bottle', id: row.id, fields: { merged_into: survivor.id } })),
  ];
  for (const kind of /** @type {Kind[]} */ (['tasting', 'pick', 'stock', 'photo'])) {
    for (const row of await allWhere(kind, 'bottle', ...others.map(({ id }) => id))) {
      edits.push({ kind, id: row.id, fields: { bottle: survivor.id } });
      before.push(row);
    }
  }
  await commitEdits(edits, withPast);
  return () => takeBack(edits, before);
}

/**
 * Collect what the survivor lacks. A value keeps its clock, so that a later one of another phone, which had not heard
 * of the merge, supersedes it; it is new where the survivor had been emptied since.
 * @param {Row} survivor
 * @param {Row[]} others
 * @returns {{ past: Past, fields: Row['fields'] }}
 */
function gainedBy(survivor, others) {
  /** @type {Past} */
  const past = { fields: {}, clocks: {}, deleted: false, deleted_clock: null };
  /** @type {Row['fields']} */
  const fields = {};
  for (const row of others) {
    for (const [name, value] of Object.entries(row.fields)) {
      const isGained = name in past.fields || name in fields || hasValue(survivor.fields[name]);
      if (isGained || !hasValue(value) || ['merged_into', 'apart_from', 'example'].includes(name)) continue;
      const clock = String(row.clocks[name]);
      if (clock > (survivor.clocks[name] ?? '')) {
        past.fields[name] = value;
        past.clocks[name] = clock;
      } else fields[name] = value;
    }
  }
  return { past, fields };
}

/** @type {import('../../../store/write.js').Part} */
function withPast(record, edit) {
  const past = /** @type {{ past?: Past }} */ (edit).past;
  if (!past || Object.keys(past.fields).length === 0) return { open: edit, past: null, record };
  const { kind, id } = edit;
  return { open: edit, past, record: merge(record, { kind, id, ...past }).record };
}

/**
 * Give fields their earlier values, except those that another phone has changed since.
 * @param {(Edit & { past?: Past })[]} edits
 * @param {Named[]} before the records as they were
 */
async function takeBack(edits, before) {
  const back = edits.map(async ({ kind, id, fields, past }) => {
    const written = Object.entries({ ...fields, ...past?.fields });
    const now = (await record(kind, id))?.fields ?? {};
    const was = before.find((row) => row.id === id)?.fields ?? {};
    const same = written.filter(([name, value]) => isEqual(now[name] ?? null, value ?? null));
    return { kind, id, fields: Object.fromEntries(same.map(([name]) => [name, was[name] ?? null])) };
  });
  await saveMany(await Promise.all(back));
}

/**
 * @param {Row[]} group
 * @returns {Promise<string[]>} bottles marked as different from one of the group, in either
 *   direction
 */
async function distinctFrom(group) {
  const ids = new Set(group.map((row) => row.id));
  const naming = (await allOf('bottle'))
    .filter((row) => (row.fields['apart_from'] ?? []).some((/** @type {string} */ id) => ids.has(id)))
    .map((row) => row.id);
  return [...group.flatMap((row) => row.fields['apart_from'] ?? []), ...naming].filter((id) => !ids.has(id));
}

/** @param {unknown} value */
function hasValue(value) {
  return value !== null && value !== undefined && value !== '' && !(Array.isArray(value) && value.length === 0);
}
