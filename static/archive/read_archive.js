// Reads what an archive has, before it is imported: its notes, and which of them this phone has.
import { db, withReconnect } from '../store/database.js';
import { isDeleted, kinds } from '../store/record.js';
import { isZip, readDirectory, readText } from './zip_directory.js';

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
const READ = ['book.json', 'tasting.jsonl', 'bottle.jsonl', 'photo.jsonl'];

const OTHERS = ['book.json', 'revisions.jsonl', 'tastings.csv', 'group_tastings.csv'];
const PHOTO = /^photos\/[0-9a-f-]{36}\.(jpg|webp)$/;
/** Files that macOS and Windows add to a folder. */
const OF_FILE_MANAGERS = /^__MACOSX\/|(^|\/)(\._[^/]*|\.DS_Store|Thumbs\.db|desktop\.ini)$/;

/** @typedef {'not_archive' | 'other_format' | 'damaged' | 'empty'} Code */

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
  // What begins as a ZIP and has no directory lost its end.
  if (!directory) throw new ArchiveError((await isZip(file)) ? 'damaged' : 'not_archive');
  const texts = await textsOf(file, directory);
  const head = headOf(texts);
  checkFiles(directory);
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
 * @param {Map<string, string>} texts
 * @param {string} kind
 * @returns {BookRecord[]} those that are not deleted
 * @throws {ArchiveError} if a record is there twice, because the server adds no such copy
 */
function recordsIn(texts, kind) {
  const lines = (texts.get(`${kind}.jsonl`) ?? '').split('\n').filter((line) => line.trim());
  const records = lines.map((line) => ({ clocks: {}, deleted: false, deleted_clock: null, ...JSON.parse(line) }));
  if (new Set(records.map(({ id }) => id)).size < records.length) throw new ArchiveError('damaged');
  return records.filter((record) => !isDeleted(record));
}

/**
 * Refuse what the server would refuse (`_is_ours()` in `webapp/archive/parse.py`), and what has nothing to add.
 * @param {Map<string, import('./zip_directory.js').Entry>} directory
 * @throws {ArchiveError}
 */
function checkFiles(directory) {
  const files = [...directory.keys()].filter((name) => !name.endsWith('/') && !OF_FILE_MANAGERS.test(name));
  const folder = folderAround(files);
  const lists = kinds.map((kind) => `${folder}${kind}.jsonl`);
  const photos = files.filter((name) => name.startsWith(folder) && PHOTO.test(name.slice(folder.length)));
  const known = new Set([...OTHERS.map((name) => folder + name), ...lists, ...photos]);
  const unknown = files.filter((name) => !known.has(name));
  // A later version keeps records of a kind that this one does not know.
  if (unknown.length) throw new ArchiveError(unknown.some(isList) ? 'other_format' : 'damaged');
  if (!photos.length && lists.every((name) => !directory.get(name)?.size)) throw new ArchiveError('empty');
}

/** @param {string} name */
function isList(name) {
  return name.endsWith('.jsonl');
}

/**
 * Read the texts that the preview needs, wherever in the file they are; pictures are not read.
 * @param {Blob} file
 * @param {Map<string, import('./zip_directory.js').Entry>} directory
 * @returns {Promise<Map<string, string>>} by name of the entry
 * @throws {ArchiveError}
 */
async function textsOf(file, directory) {
  /** @type {Map<string, string>} */
  const texts = new Map();
  const folder = folderAround([...directory.keys()]);
  for (const name of READ) {
    const entry = directory.get(folder + name);
    const text = entry && (await readText(file, entry));
    if (text === null) throw new ArchiveError('damaged');
    if (text !== undefined) texts.set(name, text);
  }
  return texts;
}

/**
 * Find the folder around all files, which a file manager adds when somebody packs an unpacked archive.
 * @param {string[]} names
 * @returns {string} the folder of `book.json` with a slash, or an empty text
 */
function folderAround(names) {
  const head = names.find((name) => /^([^/]+\/)?book\.json$/.test(name)) ?? '';
  return head.slice(0, -'book.json'.length);
}
