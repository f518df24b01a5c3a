/**
 * When to sync: at once when the app opens, the page or the network comes back, shortly after a save, now and then, and
 * after trouble with growing patience.
 *
 * @typedef {import('./round.js').RoundEnd} RoundEnd
 */
import { timing } from './timing.js';

export class Schedule {
  /**
   * @param {() => Promise<RoundEnd>} work one round; it never throws for the network's sake
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
  }

  /** Syncs now, whatever went before. @returns {Promise<RoundEnd>} */
  now() {
    clearTimeout(this.timer);
    this.troubles = 0;
    if (this.running) {
      this.again = true;
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
    this.in(timing.after_save_ms, async () => { if (await this.due()) this.begin(); });
  }

  /** @param {number} ms @param {() => void} [begin] */
  in(ms, begin = () => this.begin()) {
    clearTimeout(this.timer);
    this.timer = setTimeout(begin, ms);
  }

  begin() {
    this.running ??= this.run();
  }

  /** @returns {Promise<RoundEnd>} */
  async run() {
    this.again = false;
    const end = await this.work();
    this.running = null;
    this.last = end.end;
    this.troubles = end.end === 'waiting' ? this.troubles + 1 : 0;
    if (end.end === 'done' && this.again) this.afterSave();
    else this.in(this.pause(end));
    return end;
  }

  /** @param {RoundEnd} end @returns {number} ms until the next round */
  pause({ end, wait_ms }) {
    if (end !== 'waiting') return timing.idle_ms;
    const grown = Math.min(timing.backoff_most_ms, timing.backoff_first_ms * 2 ** (this.troubles - 1));
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
