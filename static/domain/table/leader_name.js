// The leader's name for a new table.
import { capitalized } from '../../lib/capital.js';
import { localOwner, UNNAMED } from '../../store/owner.js';

/**
 * @param {import('../../store/record.js').Row[]} tables newest first
 * @returns {Promise<string | null>} as at the last table, else as the person signs in
 */
export async function usualLeaderName(tables) {
  const last = tables.find(({ fields }) => fields['leader_name'])?.fields['leader_name'];
  return last ?? nameOf((await localOwner())?.name);
}

/**
 * Write a name with a capital, because names to sign in with are often in small letters.
 * @param {string | undefined} name
 * @returns {string | null}
 */
export function nameOf(name) {
  return name && name !== UNNAMED ? capitalized(name) : null;
}
