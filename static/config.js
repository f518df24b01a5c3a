/** Limits and delays of the sync loop. Only tests change them. */
export const timing = {
  /** A response that takes longer counts as none. Each byte of the request adds time. */
  request_timeout_ms: 30_000,
  byte_ms: 1,
  /** Delay after a save, so that saves in quick succession share a request. */
  after_save_ms: 1_500,
  /** Interval of requests when nothing else starts one. */
  idle_ms: 5 * 60_000,
  backoff_first_ms: 2_000,
  backoff_max_ms: 5 * 60_000,
  /** Longest pause after failures while somebody waits for answers of others. */
  backoff_watched_ms: 8_000,
  /**
   * Most records in a request, most in a response, and the size of a request before compression.
   */
  max_push: 500,
  max_pull: 1_000,
  first_pull: 400,
  max_bytes: 1_000_000,
  /** The palate is asked for once changes have stopped for so long, and after the longer time at the latest. */
  palate_quiet_ms: 3_000,
  palate_latest_ms: 30_000,
  /**
   * The phone corrects for a larger difference to the server's clock. Same bound as on the server.
   */
  skew_ms: 5 * 60_000,
  /** A value replaced sooner, by the same page and before it was sent, leaves no revision. */
  draft_ms: 60_000,
};
