/**
 * Hybrid logical clock as sortable text: `<milliseconds, 13 digits>-<counter, 4 hex
 * digits>-<device>`. Port of webapp/sync/hlc.py and tests/reference/hlc.py; shared cases in
 * tests/vectors/clock.json. After Kulkarni et al. 2014, "Logical Physical Clocks".
 */

const CLOCK = /^([0-9]{13})-([0-9a-f]{4})-([a-z0-9]{8,32})$/;
const DEVICE = /^[a-z0-9]{8,32}$/;
const LAST_MS = 9_999_999_999_999;
const LAST_COUNTER = 0xffff;

/** `code`: bad_clock, bad_time or bad_device. */
export class ClockError extends Error {
  /** @param {'bad_clock' | 'bad_time' | 'bad_device'} code */
  constructor(code) {
    super(code);
    this.name = 'ClockError';
    this.code = code;
  }
}

/**
 * Return the clock after `last`, at `nowMs`, on `device`: never earlier than either.
 * @param {string | null} last
 * @param {number} nowMs whole milliseconds since 1970; negative times count as 0
 * @param {string} device 8 to 32 of [a-z0-9]
 * @returns {string}
 */
export function tick(last, nowMs, device) {
  if (!DEVICE.test(device)) throw new ClockError('bad_device');
  const now = wholeMs(nowMs);
  if (last === null) return formatClock(now, 0, device);
  const seen = parseClock(last);
  if (now > seen.ms) return formatClock(now, 0, device);
  if (seen.counter < LAST_COUNTER) return formatClock(seen.ms, seen.counter + 1, device);
  return formatClock(seen.ms + 1, 0, device);
}

/** @param {string} clock @returns {number} */
export function clockMs(clock) {
  return parseClock(clock).ms;
}

/**
 * Return the latest clock; text order is the order in time.
 * @param {...(string | null | undefined)} clocks
 * @returns {string | null}
 */
export function maxClock(...clocks) {
  /** @type {string | null} */
  let last = null;
  for (const clock of clocks) if (clock && (last === null || clock > last)) last = clock;
  return last;
}

/** @param {string} clock */
function parseClock(clock) {
  const parts = CLOCK.exec(clock);
  if (!parts) throw new ClockError('bad_clock');
  return { ms: Number(parts[1]), counter: parseInt(String(parts[2]), 16) };
}

/** @param {number} nowMs */
function wholeMs(nowMs) {
  if (!Number.isInteger(nowMs)) throw new ClockError('bad_time');
  return Math.max(0, nowMs);
}

/** @param {number} ms @param {number} counter @param {string} device */
function formatClock(ms, counter, device) {
  if (ms > LAST_MS) throw new ClockError('bad_time');
  return `${String(ms).padStart(13, '0')}-${counter.toString(16).padStart(4, '0')}-${device}`;
}
