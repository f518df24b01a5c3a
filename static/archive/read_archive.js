// Reads what an archive has, before it is imported: its notes, and which of them this phone has.
import { Unzip, UnzipInflate } from '../vendor/fflate.js';
import { db, withReconnect } from '../store/database.js';
import { isDeleted } from '../store/record.js';
import { readDirectory } from './zip_directory.js';

/** @typedef {import('../store/record.js').BookRecord} BookRecord */
/** @typedef {{ id: string, bottle: Record<string, any>, at: string | null }} Note */
/**
 * @typedef {object} Preview
 * @property {string} owner name of the notebook's owner, or empty
 * @property {string | null} made_at
 * @property {Note[]} added notes that this phone does not have
 * @property {Note[]} known notes that this phone has
 * @property {Note[]} removed notes that were deleted on this phone
 * @property {number} photos
 */

const FORMAT = 1;
const READ = new Set(['book.json', 'tasting.jsonl', 'bottle.jsonl', 'photo.jsonl']);

/** @typedef {'not_archive' | 'other_format' | 'damaged'} Code */

export class ArchiveError extends Error {
  /** @param {Code} code @param {unknown} [cause] */
  constructor(code, cause) {
    super(code, { cause });
    this.name = 'ArchiveError';
    this.code = code;
  }
}

/** @param {Blob} file @returns {Promise<Preview>} @throws {ArchiveError} */
export async function previewArchive(file) {
  const directory = await readDirectory(file);
  const { texts, bytes } = await textsOf(file).catch((error) => {
    throw new ArchiveError(directory?.has('book.json') ? 'damaged' : 'not_archive', error);
  });
  const head = headOf(texts);
  if (!isWhole(directory, bytes)) throw new ArchiveError('damaged');
  try {
    const bottles = new Map(recordsIn(texts, 'bottle').map((record) => [record.id, record.fields]));
    const notes = recordsIn(texts, 'tasting').map(({ id, fields }) => ({
      id,
      bottle: bottles.get(fields['bottle']) ?? {},
      at: fields['tasted_at'] ?? null,
    }));
    const rows = await withReconnect(() => db.tasting.bulkGet(notes.map((note) => note.id)));
    return {
      owner: String(head.owner_name ?? ''),
      made_at: head.made_at ?? null,
      added: notes.filter((_, at) => !rows[at]),
      known: notes.filter((_, at) => rows[at]?.gone === 0),
      removed: notes.filter((_, at) => rows[at]?.gone === 1),
      photos: recordsIn(texts, 'photo').length,
    };
  } catch (error) {
    throw error instanceof SyntaxError ? new ArchiveError('damaged', error) : error;
  }
}

/** @param {Map<string, string>} texts @returns {Record<string, any>} book.json @throws {ArchiveError} */
function headOf(texts) {
  try {
    const head = JSON.parse(texts.get('book.json') ?? 'null');
    if (head?.format === FORMAT) return head;
    throw new ArchiveError(head ? 'other_format' : 'not_archive');
  } catch (error) {
    throw error instanceof SyntaxError ? new ArchiveError('not_archive', error) : error;
  }
}

/**
 * Tell whether all that was to be read was read. The unpacking alone skips what it does not find.
 * @param {Map<string, number> | null} directory
 * @param {Map<string, number>} bytes as read
 */
function isWhole(directory, bytes) {
  return directory !== null && [...directory].every(([name, size]) => !READ.has(name) || bytes.get(name) === size);
}

/** @param {Map<string, string>} texts @param {string} kind @returns {BookRecord[]} those that are not deleted */
function recordsIn(texts, kind) {
  const lines = (texts.get(`${kind}.jsonl`) ?? '').split('\n').filter((line) => line.trim());
  return lines
    .map((line) => ({ clocks: {}, deleted: false, deleted_clock: null, ...JSON.parse(line) }))
    .filter((record) => !isDeleted(record));
}

/**
 * Read the texts that the preview needs. The pictures, which come last, are not read.
 * @param {Blob} file
 * @returns {Promise<{ texts: Map<string, string>, bytes: Map<string, number> }>} by name of the entry
 */
async function textsOf(file) {
  /** @type {Map<string, string>} */
  const texts = new Map();
  /** @type {Map<string, number>} */
  const bytes = new Map();
  const state = { isDone: false };
  const unzip = new Unzip((entry) => {
    if (entry.name.startsWith('photos/')) state.isDone ||= texts.has('book.json');
    if (!READ.has(entry.name)) return;
    const decoder = new TextDecoder();
    entry.ondata = (error, chunk, final) => {
      if (error) throw error;
      bytes.set(entry.name, (bytes.get(entry.name) ?? 0) + chunk.length);
      texts.set(entry.name, (texts.get(entry.name) ?? '') + decoder.decode(chunk, { stream: !final }));
    };
    entry.start();
  });
  unzip.register(UnzipInflate);
  const reader = file.stream().getReader();
  while (!state.isDone) {
    const { done, value } = await reader.read();
    unzip.push(value ?? new Uint8Array(), done);
    state.isDone ||= done;
  }
  await reader.cancel();
  return { texts, bytes };
}
