/** The patience and the appetite of the sync loop. Tests set other values; the app never does. */
export const timing = {
  /** An answer that takes longer counts as none; for each byte that goes up there is so much more. */
  request_timeout_ms: 30_000,
  byte_ms: 1,
  /** Saves that follow each other closely travel together. */
  after_save_ms: 1_500,
  /** Between two looks at the server when nothing else calls for one. */
  idle_ms: 5 * 60_000,
  backoff_first_ms: 2_000,
  backoff_max_ms: 5 * 60_000,
  /** Records up in one request, records down in one answer, and the size of a request before compression. */
  max_push: 500,
  max_pull: 1_000,
  first_pull: 400,
  max_bytes: 1_000_000,
  /** The palate is asked for once changes have stopped for so long, and after the longer time at the latest. */
  palate_quiet_ms: 3_000,
  palate_latest_ms: 30_000,
  /** How far a clock may stand from the server's before the phone corrects for it; the server's own bound. */
  skew_ms: 5 * 60_000,
  /** So long may a value be written over, on the phone that wrote it and before it was sent, without a trace. */
  draft_ms: 60_000,
};
