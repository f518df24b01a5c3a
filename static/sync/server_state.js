/**
 * Progress of sync with the server: the row `server` of `meta`.
 *
 * @typedef {Object} ServerState
 * @property {'server'} name
 * @property {string | null} epoch id of the server's database
 * @property {string | null} token session token from the last response
 * @property {number} cursor sequence number up to which changes are stored here
 * @property {string | null} seen the latest clock that the server has sent or accepted
 * @property {boolean} rewinding whether all records are being read again, because the server was
 *   restored or replaced
 * @property {string | null} rewound_at when a rewind was last noticed
 * @property {string | null} last_synced
 */

/**
 * @param {import('../store/database.js').Transaction} tx
 * @returns {Promise<ServerState>} must be called inside a transaction over `meta`
 */
export async function readServerState(tx) {
  const stored = await tx.meta.get('server');
  // The first release stored no `seen`.
  return stored
    ? { seen: null, ...stored }
    : {
        name: 'server',
        epoch: null,
        token: null,
        cursor: 0,
        seen: null,
        rewinding: false,
        rewound_at: null,
        last_synced: null,
      };
}
