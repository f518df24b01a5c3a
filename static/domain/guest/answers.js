/**
 * The answers of a guest as the phone holds them, one row for each field of a glass. Every value that the server has
 * not received is kept with its time, because a step may have closed between two of them: then the last value before
 * that counts.
 *
 * @typedef {{ value: any, ms: number }} Entry `ms`: when it was noted, by the corrected clock
 * @typedef {Object} Answer
 * @property {string} id
 * @property {string} table
 * @property {string} glass
 * @property {string} field
 * @property {Entry[]} entries not received yet, oldest first
 * @property {Entry | null} accepted what the server has
 * @property {(Entry & { closed_ms: number | null }) | null} late noted after the step had closed; it does not count
 * @property {string | null} error why the server refused the value
 */

/** Values noted within this time replace each other, such as the letters of a word. */
const SAME_MS = 300;
const MAX_ENTRIES = 40;

/** @param {string} table @param {string} glass @param {string} field @returns {Answer} */
export function emptyAnswer(table, glass, field) {
  const id = `${table}/${glass}/${field}`;
  return { id, table, glass, field, entries: [], accepted: null, late: null, error: null };
}

/**
 * @param {Answer} answer
 * @param {Entry} entry
 * @returns {Answer} with the entry, unless it is there already
 */
export function noted(answer, entry) {
  if (answer.entries.some(({ ms }) => ms === entry.ms) || (answer.accepted?.ms ?? 0) >= entry.ms) return answer;
  const entries = [...answer.entries];
  const last = entries.at(-1);
  if (last && entry.ms >= last.ms && entry.ms - last.ms < SAME_MS) entries.pop();
  entries.push(entry);
  entries.sort((one, other) => one.ms - other.ms);
  // The oldest and the newest half stay dense; what is between them is thinned out.
  if (entries.length > MAX_ENTRIES) entries.splice(1, 1);
  return { ...answer, entries, late: null, error: null };
}

/** @param {Answer} answer @returns {Entry | null} the value to show; one that came too late does not count */
export function current({ entries, accepted }) {
  return entries.at(-1) ?? accepted;
}

/**
 * @typedef {{ fields: Record<string, any>, noted_ms: Record<string, number> }} Sending
 * @param {Iterable<Answer>} answers
 * @returns {Map<string, Sending>} the newest value of every field that the server has not received, by glass
 */
export function unsent(answers) {
  /** @type {Map<string, Sending>} */
  const byGlass = new Map();
  for (const { glass, field, entries } of answers) {
    const entry = entries.at(-1);
    if (!entry) continue;
    const sending = byGlass.get(glass) ?? { fields: {}, noted_ms: {} };
    byGlass.set(glass, sending);
    sending.fields[field] = entry.value;
    sending.noted_ms[field] = entry.ms;
  }
  return byGlass;
}

/**
 * @typedef {{ stored?: string[], closed?: Record<string, number | null>, errors?: Record<string, any>, now_ms?: number
 *   }} Receipt the server's response to what was sent
 */

/**
 * @param {Answer} answer
 * @param {number} sentMs time of the entry that was sent
 * @param {Receipt} receipt
 * @returns {Answer}
 */
export function received(answer, sentMs, { stored = [], closed = {}, errors = {}, now_ms = Infinity }) {
  const { field } = answer;
  const sent = answer.entries.find(({ ms }) => ms === sentMs);
  if (!sent) return answer;
  const later = answer.entries.filter(({ ms }) => ms > sentMs);
  // To the server nothing is noted later than now, even if the phone's clock was ahead.
  if (stored.includes(field))
    return { ...answer, entries: later, accepted: { ...sent, ms: Math.min(sent.ms, now_ms) } };
  if (field in closed) {
    const closed_ms = closed[field] ?? null;
    const before = answer.entries.filter(({ ms }) => ms < sentMs && closed_ms !== null && ms <= closed_ms).slice(-1);
    return { ...answer, entries: [...before, ...later], late: { ...sent, closed_ms } };
  }
  if (field in errors) {
    return { ...answer, entries: later, error: String([errors[field]].flat()[0]?.code ?? 'invalid') };
  }
  return answer;
}

/** @param {Answer} answer @returns {Answer} to be sent again, with the time when it was noted */
export function toSendAgain(answer) {
  const { accepted, entries } = answer;
  return accepted ? { ...answer, entries: [accepted, ...entries], accepted: null } : answer;
}

/**
 * @param {Record<string, any> | undefined} received the sheet that the server has
 * @param {Answer[]} answers of the same glass
 * @returns {Record<string, any>} the values to show
 */
export function valuesOf(received, answers) {
  const values = { ...received };
  for (const answer of answers) {
    const entry = current(answer);
    if (entry) values[answer.field] = entry.value;
  }
  return values;
}
