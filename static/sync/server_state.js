/**
 * How far this phone and its server have come together: the row `server` of `meta`.
 *
 * @typedef {Object} ServerState
 * @property {'server'} name
 * @property {string | null} epoch the server's database
 * @property {string | null} token the session that the server gave last
 * @property {number} cursor up to where its changes are stored here
 * @property {string | null} seen the latest clock that it has shown or taken
 * @property {boolean} rewinding the server was restored or replaced, and its book is being read again from the start
 * @property {string | null} rewound_at when that was last noticed
 * @property {string | null} last_synced
 */

/**
 * @param {import('../store/database.js').Transaction} tx
 * @returns {Promise<ServerState>} inside a transaction over `meta`
 */
export async function readServerState(tx) {
  const kept = await tx.meta.get('server');
  // Rows of the first edition say nothing of what was seen.
  return kept
    ? { seen: null, ...kept }
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
