/**
 * Revisions of a record: values superseded by a merge or an edit. The server stores them; the phone
 * caches the last answer.
 *
 * @typedef {{ field: string, value: unknown, clock: string, device: string, at_ms: number,
 *   overruled_at: number | null }} Revision `field` is "deleted" for the deletion mark
 */
import { ownerHeader } from './owner.js';
import { revisionsName } from './record.js';
import { db, withReconnect } from './database.js';

/**
 * @param {import('./record.js').Kind} kind
 * @param {string} id
 * @returns {Promise<{ revisions: Revision[], fresh: boolean }>} `fresh` is false without the
 *   server; empty if it never answered
 */
export async function fetchRevisions(kind, id) {
  const name = revisionsName(kind, id);
  try {
    const answer = await fetch(`/api/records/${kind}/${id}/revisions`, {
      headers: await ownerHeader(),
      signal: AbortSignal.timeout(15_000),
    });
    // The server does not know a note that was not sent yet.
    if (answer.status === 404) return { revisions: [], fresh: true };
    const document = answer.ok ? await answer.json() : null;
    if (!Array.isArray(document?.revisions)) throw new TypeError('not an answer of the book');
    await db.cache.put({ name, revisions: document.revisions }).catch(() => undefined);
    return { revisions: document.revisions, fresh: true };
  } catch {
    const cached = await withReconnect(() => db.cache.get(name));
    return { revisions: cached?.revisions ?? [], fresh: false };
  }
}
