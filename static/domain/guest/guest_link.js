/**
 * Keeps the open table current: sends what was noted, and polls while the page is visible. Everything may be
 * repeated: the server ignores what it has.
 *
 * @typedef {'connecting' | 'fresh' | 'offline' | 'waiting'} Phase waiting: the server asks for patience
 */
import { effect, signal } from '../../lib/ui.js';
import { backoffMs } from '../../store/backoff.js';
import { received, unsent } from './answers.js';
import { corrected } from './clock.js';
import { GuestError, getTable, putConsent, putSheet } from './guest_api.js';
import { changeAnswers, forgetSeat, readAnswers, readSeat } from './guest_store.js';
import { acceptAnswers, closeSeat, openSeat, seat, unsentCount, updateSeat } from './seat_state.js';
import { dropTyped } from './typed_words.js';

/** @typedef {import('./guest_store.js').Seat} Seat */

/** Times in ms; tests shorten them. */
export const linkTiming = {
  /** First interval between two requests after a change, and the longest without one. */
  poll: 2_000,
  pollMax: 4_000,
  /** The interval for a table where nothing has changed for `idleAfter`, or that was deleted. */
  pollIdle: 8_000,
  idleAfter: 10 * 60_000,
  /** Wait before sending, in which further taps join the request. */
  send: 400,
  retry: 2_000,
  retryMax: 30_000,
  /** How long a page is covered at a turn: for a tap that was on its way, and to read a name. */
  turn: 1_200,
};

/** @type {import('../../lib/ui.js').Signal<Phase>} */
export const linkPhase = signal('connecting');

/** When the server was last heard, by the phone's clock; 0 for not since the page came. */
export const heardMs = signal(0);

/**
 * Whether there has been no signal since the page came. It stays true with the signal back, so that a step which the
 * guest opened meanwhile is not taken away.
 */
export const wasCutOff = signal(false);

/** Statuses that concern every request; another one from 400 concerns one glass, and the others are sent anyway. */
const OF_ALL_REQUESTS = new Set([401, 408, 421, 429]);

/** Share of an interval that is drawn by lot, so that thirty phones do not ask at once. */
const JITTER = 0.3;

/**
 * @param {string} table
 * @param {() => void} [onForgotten] called when a deletion is finished that an earlier page of this phone asked for
 * @returns {{ stop: () => void, wake: () => void }} wake: ask now
 */
export function startLink(table, onForgotten) {
  const link = new Link(table, onForgotten);
  link.start();
  return { stop: () => link.stop(), wake: () => link.soon(0) };
}

/**
 * Send at once what the server has not received.
 * @param {Seat} open
 * @throws {GuestError} if it could not be sent; what the server refuses for one glass stays on the phone
 */
export async function sendRest(open) {
  const link = new Link(open.table);
  await link.sendAll(open);
  await link.sendConsent(open);
}

class Link {
  /** @param {string} table @param {() => void} [onForgotten] */
  constructor(table, onForgotten = () => undefined) {
    this.table = table;
    this.onForgotten = onForgotten;
    this.isRunning = false;
    this.isStopped = false;
    this.failures = 0;
    this.unchangedSince = Date.now();
    this.interval = linkTiming.poll;
    this.wallMinusRunning = wallMinusRunning();
    this.due = Infinity;
    /** @type {ReturnType<typeof setTimeout> | undefined} */
    this.timer = undefined;
    this.isAskedAgain = false;
    /** Glasses whose answers the server has refused as a whole. @type {Map<string, number>} */
    this.refusedUntil = new Map();
    /** @type {(() => void)[]} */
    this.ends = [];
  }

  start() {
    heardMs.value = 0;
    const seen = () => {
      if (document.visibilityState === 'hidden') this.round();
      else openSeat(this.table).then(() => this.soon(0));
    };
    const online = () => this.soon(Math.random() * 500);
    document.addEventListener('visibilitychange', seen);
    addEventListener('online', online);
    let before = 0;
    const sending = effect(() => {
      const count = unsentCount.value;
      if (count > before) this.soon(linkTiming.send);
      before = count;
    });
    this.ends = [
      sending,
      () => document.removeEventListener('visibilitychange', seen),
      () => removeEventListener('online', online),
    ];
    this.soon(0);
  }

  stop() {
    this.isStopped = true;
    clearTimeout(this.timer);
    for (const end of this.ends) end();
  }

  /** @param {number} wait_ms until the next round; an earlier one stays */
  soon(wait_ms) {
    const due = Date.now() + wait_ms;
    if (this.isStopped || due >= this.due) return;
    clearTimeout(this.timer);
    this.due = due;
    this.timer = setTimeout(() => this.round(), wait_ms);
  }

  async round() {
    clearTimeout(this.timer);
    this.due = Infinity;
    this.isAskedAgain = this.isRunning;
    if (this.isRunning || this.isStopped) return;
    this.isRunning = true;
    const wait_ms = await this.exchange().then(
      (isChanged) => this.waitAfter(isChanged),
      (error) => this.waitAfterError(error),
    );
    this.isRunning = false;
    const isOver = document.visibilityState === 'hidden' && !unsentCount.peek();
    if (wait_ms === null || isOver) return;
    this.soon(this.isAskedAgain ? 0 : wait_ms);
  }

  /** @returns {Promise<boolean | null>} whether the table has changed; null if there is nothing to ask for */
  async exchange() {
    const open = await readSeat(this.table);
    // Another page of this phone has left the table.
    if (!open && !this.isStopped && seat.peek()?.table === this.table) closeSeat();
    if (!open?.token) return null;
    // The leader may have taken back the end of the table, or its deletion.
    if (open.state === 'over') return this.poll({ ...open, etag: null });
    if (open.state !== 'in') return null;
    await this.sendAll(open);
    await this.sendConsent(open);
    return this.poll(open);
  }

  /** @param {Seat} open */
  async sendAll(open) {
    const answers = await readAnswers(this.table);
    acceptAnswers(answers);
    for (const [glass, sending] of unsent(answers)) {
      if ((this.refusedUntil.get(glass) ?? 0) > Date.now()) continue;
      try {
        const isClosed = await this.send(open, glass, sending);
        // What was noted before the step closed, which only the first response tells.
        const again = isClosed ? unsent(await readAnswers(this.table)).get(glass) : undefined;
        if (again) await this.send(open, glass, again);
      } catch (error) {
        throwUnlessOfOne(error);
        this.refusedUntil.set(glass, Date.now() + linkTiming.retryMax);
      }
    }
  }

  /**
   * @param {Seat} open
   * @param {string} glass
   * @param {import('./answers.js').Sending} sending
   * @returns {Promise<boolean>} whether something was refused because its step had closed
   */
  async send(open, glass, sending) {
    const sent = Date.now();
    const receipt = await putSheet(String(open.token), glass, sending);
    await this.setClock(sent, receipt.now_ms);
    const ids = Object.keys(sending.fields).map((field) => `${this.table}/${glass}/${field}`);
    const changed = await changeAnswers(ids, (answer) =>
      received(answer, Number(sending.noted_ms[answer.field]), receipt),
    );
    acceptAnswers(changed);
    return Object.keys(receipt.closed ?? {}).length > 0;
  }

  /** @param {Seat} open */
  async sendConsent({ token, consent }) {
    if (!consent || consent.isSent) return;
    // A server that refuses it would refuse it again; the answers are more important.
    await putConsent(String(token), consent).catch(throwUnlessOfOne);
    await updateSeat(this.table, ({ consent: now }) =>
      now && now.ms === consent.ms ? { consent: { ...now, isSent: true } } : {},
    );
  }

  /** @param {Seat} open */
  async poll(open) {
    // Without the mark the response has the server's time, which a phone whose clock was set needs.
    const isClockSet = Math.abs(wallMinusRunning() - this.wallMinusRunning) > 500;
    const sent = Date.now();
    const { view, etag } = await getTable(String(open.token), isClockSet ? null : open.etag);
    this.wallMinusRunning = wallMinusRunning();
    // The page has left the table, and reads it anew when it comes back.
    if (this.isStopped) return null;
    if (!view) return this.takeFromOtherPage(open);
    await this.setClock(sent, view['now_ms']);
    await updateSeat(this.table, () => ({ view, etag, guest: view['guest'], state: 'in' }));
    return true;
  }

  /**
   * Show what another page of this phone has received: this one is told that nothing has changed since.
   * @param {Seat} stored @returns {Promise<boolean>} whether this page showed something older
   */
  async takeFromOtherPage({ etag }) {
    const shown = seat.peek();
    if (shown?.table !== this.table || shown.etag === etag) return false;
    await openSeat(this.table);
    return true;
  }

  /** @param {number} sent @param {number} now_ms */
  async setClock(sent, now_ms) {
    const back = Date.now();
    await updateSeat(this.table, ({ clock }) => ({ clock: corrected(clock, sent, back, now_ms), heard_ms: back }));
  }

  /** @param {boolean | null} isChanged */
  waitAfter(isChanged) {
    this.failures = 0;
    if (isChanged === null || this.isStopped) return null;
    linkPhase.value = 'fresh';
    heardMs.value = Date.now();
    const { poll, pollMax, pollIdle, idleAfter } = linkTiming;
    if (isChanged) this.unchangedSince = Date.now();
    const isIdle = Date.now() - this.unchangedSince > idleAfter;
    this.interval = isChanged ? poll : Math.min(isIdle ? pollIdle : pollMax, this.interval * 1.15);
    return this.interval * (1 - JITTER / 2 + Math.random() * JITTER);
  }

  /** @param {unknown} error @returns {Promise<number | null>} */
  async waitAfterError(error) {
    const { code, wait_s, reason } = error instanceof GuestError ? error : new GuestError('failed');
    if (code === 'guest_ended') {
      if (reason === 'forgotten') return this.forget();
      const state = reason === 'removed' || reason === 'left' ? reason : 'over';
      await updateSeat(this.table, () => ({ state }));
      return reason === 'deleted' ? linkTiming.pollIdle : null;
    }
    if (this.isStopped) return null;
    this.failures += 1;
    if (code !== 'no_network') linkPhase.value = 'waiting';
    else if (!this.isFirstLost()) {
      linkPhase.value = 'offline';
      wasCutOff.value = true;
    }
    const { retry: first_ms, retryMax: max_ms } = linkTiming;
    return Math.max(wait_s * 1_000, backoffMs(this.failures, { first_ms, max_ms }));
  }

  /** One lost request is no lost signal, which would change the button under the guest's thumb. */
  isFirstLost() {
    return this.failures === 1 && linkPhase.peek() === 'fresh' && globalThis.navigator?.onLine !== false;
  }

  /** Finish a deletion that this guest asked for, on a page that was closed before the response came. */
  async forget() {
    await forgetSeat(this.table);
    dropTyped(this.table);
    if (this.isStopped || seat.peek()?.table !== this.table) return null;
    closeSeat();
    this.onForgotten();
    return null;
  }
}

/** @param {unknown} error @throws the error, unless it concerns one request only */
function throwUnlessOfOne(error) {
  const status = error instanceof GuestError ? error.status : 0;
  if (status < 400 || status >= 500 || OF_ALL_REQUESTS.has(status)) throw error;
}

/** Return the phone's clock less the time that this page has run: constant, unless the clock is set. */
function wallMinusRunning() {
  return Date.now() - performance.now();
}
