/**
 * Decides when to sync: at start, when page or network come back, shortly after a save,
 * periodically, and after errors with exponential backoff.
 *
 * @typedef {import('./round.js').RoundEnd} RoundEnd
 */
import { timing } from '../config.js';
import { backoffMs } from '../store/backoff.js';

export class Schedule {
  /**
   * @param {() => Promise<RoundEnd>} work runs one round; if it throws, it is retried like other
   *   failures
   * @param {() => Promise<boolean>} due whether anything waits to be sent
   */
  constructor(work, due) {
    this.work = work;
    this.due = due;
    this.failures = 0;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.timer = undefined;
    /** @type {Promise<RoundEnd> | null} */
    this.running = null;
    this.rerun = false;
    /** @type {RoundEnd['end']} */
    this.last = 'done';
    /** Latest time of the next round, ms since 1970, requested by `runWithin`. */
    this.wanted_ms = Infinity;
    this.wakes_ms = Infinity;
    this.interrupted = false;
    this.idle_ms = Infinity;
    /** The server asked for no request before this time, ms since 1970. */
    this.earliest_ms = 0;
    /** How long it asked to wait; a clock that was set back does not make it longer. */
    this.asked_ms = 0;
  }

  /** Sync now, regardless of earlier failures. @returns {Promise<RoundEnd>} */
  now() {
    clearTimeout(this.timer);
    this.failures = 0;
    if (this.running) {
      this.rerun = this.interrupted = true;
      return this.running;
    }
    this.running = this.run();
    return this.running;
  }

  /** Sync because page or network came back; nobody asked, so a time that the server named is kept. */
  wake() {
    if (this.asked_ms && Date.now() < this.earliest_ms) this.runWithin(0);
    else this.now();
  }

  /** Schedule a round after a save. After a failure a retry is scheduled already. */
  afterChange() {
    if (this.running) this.rerun = true;
    else if (this.last === 'done') this.afterSave();
  }

  /** Delay the round, and skip it if the previous one has sent everything. */
  afterSave() {
    this.startTimer(timing.after_save_ms, async () => {
      if (await this.due().catch(() => true)) this.begin();
      else this.scheduleNext(Math.min(timing.idle_ms, this.idle_ms));
    });
  }

  /** @param {number} ms @param {() => void} [run] */
  startTimer(ms, run = () => this.begin()) {
    clearTimeout(this.timer);
    this.wakes_ms = Date.now() + ms;
    this.timer = setTimeout(run, ms);
  }

  /**
   * Run at least this often while all goes well, and shorten the pauses after errors.
   * @param {number} ms Infinity for the usual interval
   */
  limitInterval(ms) {
    this.idle_ms = ms;
    if (this.last === 'done') this.runWithin(ms);
    else if (this.last === 'waiting' && ms < Infinity) this.runWithin(timing.backoff_watched_ms);
  }

  /** @param {number} ms maximum delay; `runWithin` may have requested less, which the server may have forbidden */
  scheduleNext(ms) {
    const now = Date.now();
    this.startTimer(Math.max(0, Math.min(this.asked_ms, this.earliest_ms - now), Math.min(ms, this.wanted_ms - now)));
  }

  /** Request a round within that time, for work that no save announces. @param {number} ms */
  runWithin(ms) {
    this.wanted_ms = Math.min(this.wanted_ms, Date.now() + ms);
    if (this.wanted_ms < this.wakes_ms) this.scheduleNext(ms);
  }

  /** Start a round unless one is under way, which a timer does not know. */
  begin() {
    this.running ??= this.run();
  }

  /** @returns {Promise<RoundEnd>} */
  async run() {
    this.rerun = this.interrupted = false;
    this.wanted_ms = Infinity;
    const end = await this.outcome();
    this.running = null;
    this.last = end.end;
    this.failures = end.end === 'waiting' ? this.failures + 1 : 0;
    this.asked_ms = end.wait_ms;
    this.earliest_ms = Date.now() + end.wait_ms;
    if (end.end === 'done' && this.rerun) this.afterSave();
    // The round failed while `now` was called, probably on a network that was gone; try once more
    // at once.
    else if (end.end === 'waiting' && this.interrupted && end.wait_ms === 0) this.startTimer(0);
    else this.scheduleNext(this.nextDelayMs(end));
    return end;
  }

  /** @returns {Promise<RoundEnd>} never rejects, because the loop would stop */
  async outcome() {
    try {
      return await this.work();
    } catch (error) {
      console.error(error);
      return { end: 'waiting', wait_ms: 0, moved: new Set() };
    }
  }

  /**
   * @param {RoundEnd} end
   * @returns {number} ms until the next round
   */
  nextDelayMs({ end }) {
    if (end === 'waiting') return this.pauseMs();
    return end === 'done' ? Math.min(timing.idle_ms, this.idle_ms) : timing.idle_ms;
  }

  /** Return the ms to wait after the failures so far. */
  pauseMs() {
    const { backoff_first_ms: first_ms, backoff_max_ms, backoff_watched_ms } = timing;
    return backoffMs(this.failures, {
      first_ms,
      max_ms: this.idle_ms < Infinity ? backoff_watched_ms : backoff_max_ms,
    });
  }
}

/** @param {() => void} wake called when the page or the network comes back */
export function onReconnect(wake) {
  addEventListener('online', wake);
  addEventListener('pageshow', (event) => {
    if (event.persisted) wake();
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') wake();
  });
}
