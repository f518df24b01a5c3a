/** Cache of the learned palates, of the owner and of people: the server's last documents, for offline use. */
import { signal } from '../vendor/signals-core.js';
import { ownerHeader } from './owner.js';
import { db, withReconnect } from './database.js';
import { timing } from '../config.js';

const NAME = 'palate';

/** @type {import('../vendor/signals-core.js').Signal<any>} the last document of /api/palate, or null */
export const palate = signal(null);

/** @type {import('../vendor/signals-core.js').Signal<ReadonlyMap<string, any>>} the last documents of people, by id */
export const personPalates = signal(new Map());

/** @type {Promise<void> | null} */
let asking = null;
let askingPeople = Promise.resolve();
let again = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let timer;
let changed_ms = 0;

/**
 * Show the kept document at once and ask the server for a newer one. However many ask while a question is
 * under way, one more follows it.
 * @returns {Promise<void>}
 */
export function refreshPalate() {
  clearTimeout(timer);
  timer = undefined;
  again = asking !== null;
  asking ??= refreshAll();
  return asking;
}

/** Ask once changes have stopped for a moment, since each question after a change costs the server a fit. */
export function refreshPalateSoon() {
  if (timer === undefined) changed_ms = Date.now();
  clearTimeout(timer);
  const left_ms = changed_ms + timing.palate_latest_ms - Date.now();
  timer = setTimeout(refreshPalate, Math.min(timing.palate_quiet_ms, left_ms));
}

async function refreshAll() {
  do {
    again = false;
    // Without a network the kept document stays; without room this copy is not worth an error.
    await refresh().catch(() => undefined);
  } while (again);
  asking = null;
}

async function refresh() {
  const cached = await withReconnect(() => db.cache.get(NAME)).catch(() => undefined);
  if (cached && palate.value === null) palate.value = cached.document;
  const fetched = await fetchPalate('/api/palate', cached?.etag);
  if (!fetched?.document) return;
  palate.value = fetched.document;
  await withReconnect(() => db.cache.put({ name: NAME, ...fetched }));
}

/**
 * Show the kept documents of these people at once and ask the server for newer ones, one after another, because each
 * may cost it a fit. Documents of other people are removed.
 * @param {readonly string[]} ids of people who agreed
 * @returns {Promise<void>}
 */
export function refreshPersonPalates(ids) {
  askingPeople = askingPeople.then(() => refreshPeople(ids)).catch(() => undefined);
  return askingPeople;
}

/** @param {readonly string[]} ids */
async function refreshPeople(ids) {
  const names = new Map(ids.map((id) => [`${NAME}:${id}`, id]));
  const cached = await withReconnect(() => db.cache.where('name').startsWith(`${NAME}:`).toArray());
  const dropped = cached.filter(({ name }) => !names.has(name)).map(({ name }) => name);
  await withReconnect(() => db.cache.bulkDelete(dropped));
  const kept = new Map(cached.map((entry) => [entry.name, entry]));
  personPalates.value = new Map(
    [...names].flatMap(([name, id]) => {
      const document = kept.get(name)?.document ?? personPalates.value.get(id);
      return document ? [[id, document]] : [];
    }),
  );
  for (const [name, id] of names) {
    const fetched = await fetchPalate(`/api/palate?person=${id}`, kept.get(name)?.etag).catch(() => null);
    if (fetched) await keepPerson(name, id, fetched);
  }
}

/**
 * @param {string} name
 * @param {string} id
 * @param {{ document: any, etag: string | null }} fetched
 */
async function keepPerson(name, id, fetched) {
  const palates = new Map(personPalates.value);
  if (fetched.document) palates.set(id, fetched.document);
  else palates.delete(id);
  personPalates.value = palates;
  const write = async () => {
    if (fetched.document) await db.cache.put({ name, ...fetched });
    else await db.cache.delete(name);
  };
  // If the storage is full, this copy is not worth an error.
  await withReconnect(write).catch(() => undefined);
}

/** @returns {Promise<any>} the palate of the example's taster; null without a connection. It is not cached. */
export async function fetchExamplePalate() {
  return (await fetchPalate('/api/palate?taster=example').catch(() => null))?.document ?? null;
}

/**
 * @param {string} address
 * @param {string | null} [etag] of the cached document
 * @returns {Promise<{ document: any, etag: string | null } | null>} null if the cached one is current; the document is
 *   null if the server has none
 */
async function fetchPalate(address, etag) {
  const response = await fetch(address, {
    headers: { ...(await ownerHeader()), ...(etag ? { 'If-None-Match': etag } : {}) },
    cache: 'no-store',
    signal: AbortSignal.timeout(30_000),
  });
  if (response.status === 404) return { document: null, etag: null };
  if (!response.ok || !/json/.test(response.headers.get('Content-Type') ?? '')) return null;
  return { document: await response.json(), etag: response.headers.get('ETag') };
}
