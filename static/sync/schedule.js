/**
 * When to sync: at once when the app opens, the page or the network comes back, shortly after a save, now and then, and
 * after trouble with growing patience.
 *
 * @typedef {import('./round.js').RoundEnd} RoundEnd
 */
import { timing } from '../config.js';

export class Schedule {
  /**
   * @param {() => Promise<RoundEnd>} work one round; one that throws is tried again as after any other trouble
   * @param {() => Promise<boolean>} due whether anything waits to go up
   */
  constructor(work, due) {
    this.work = work;
    this.due = due;
    this.troubles = 0;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.timer = undefined;
    /** @type {Promise<RoundEnd> | null} */
    this.running = null;
    this.again = false;
    /** @type {RoundEnd['end']} */
    this.last = 'done';
    /** When something beside the records wants the next round, ms since 1970. */
    this.wanted_ms = Infinity;
    this.wakes_ms = Infinity;
    this.woken = false;
  }

  /** Syncs now, whatever went before. @returns {Promise<RoundEnd>} */
  now() {
    clearTimeout(this.timer);
    this.troubles = 0;
    if (this.running) {
      this.again = this.woken = true;
      return this.running;
    }
    this.running = this.run();
    return this.running;
  }

  /** Something was saved. While there is trouble the next try is on its way already. */
  soon() {
    if (this.running) this.again = true;
    else if (this.last === 'done') this.afterSave();
  }

  /** What was saved may have gone up with the round before. */
  afterSave() {
    this.in(timing.after_save_ms, async () => {
      if (await this.due().catch(() => true)) this.begin();
      else if (!this.running) this.rest(timing.idle_ms);
    });
  }

  /** @param {number} ms @param {() => void} [begin] */
  in(ms, begin = () => this.begin()) {
    clearTimeout(this.timer);
    this.wakes_ms = Date.now() + ms;
    this.timer = setTimeout(begin, ms);
  }

  /** @param {number} ms at most, for something else may be due sooner */
  rest(ms) {
    this.in(Math.min(ms, Math.max(0, this.wanted_ms - Date.now())));
  }

  /** Something waits that no save will announce: the next round shall not come later than that. @param {number} ms */
  noLaterThan(ms) {
    this.wanted_ms = Math.min(this.wanted_ms, Date.now() + ms);
    if (!this.running && this.wanted_ms < this.wakes_ms) this.in(ms);
  }

  begin() {
    this.running ??= this.run();
  }

  /** @returns {Promise<RoundEnd>} */
  async run() {
    this.again = this.woken = false;
    this.wanted_ms = Infinity;
    const end = await this.outcome();
    this.running = null;
    this.last = end.end;
    this.troubles = end.end === 'waiting' ? this.troubles + 1 : 0;
    if (end.end === 'done' && this.again) this.afterSave();
    // Called while it hung on a network that was gone by then: what has come back deserves a try of its own.
    else if (end.end === 'waiting' && this.woken && end.wait_ms === 0) this.in(0);
    else this.rest(this.pause(end));
    return end;
  }

  /** @returns {Promise<RoundEnd>} never rejects, for a loop that ends with an error would not begin again */
  async outcome() {
    try {
      return await this.work();
    } catch (error) {
      console.error(error);
      return { end: 'waiting', wait_ms: 0, moved: new Set() };
    }
  }

  /** @param {RoundEnd} end @returns {number} ms until the next round */
  pause({ end, wait_ms }) {
    if (end !== 'waiting') return timing.idle_ms;
    const grown = Math.min(timing.backoff_max_ms, timing.backoff_first_ms * 2 ** (this.troubles - 1));
    // Jitter: phones that lost one server at one moment do not come back at one moment.
    return Math.max(wait_ms, grown * (0.5 + Math.random() / 2));
  }
}

/** @param {() => void} wake called when the page or the network comes back */
export function whenBack(wake) {
  addEventListener('online', wake);
  addEventListener('pageshow', (event) => { if (event.persisted) wake(); });
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') wake(); });
}
