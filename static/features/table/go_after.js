// Goes to a page once something is saved, unless the leader has gone elsewhere by then: what is saved is shown before
// the save has ended, with its links.
import { navigate } from '../../router.js';

/** @param {Promise<unknown>} saving @param {string} path */
export async function goAfter(saving, path) {
  const { hash } = location;
  await saving;
  if (location.hash === hash) navigate(path);
}
