// Random faults at every await of a sync round: phone and server end equal, and nothing written is lost.
import assert from 'node:assert/strict';
import process from 'node:process';
import test from 'node:test';
import { round } from '../../static/sync/round.js';
import { bindOwner } from '../../static/store/owner.js';
import { db } from '../../static/store/database.js';
import { StoreError } from '../../static/store/errors.js';
import { tick } from '../../static/store/hlc.js';
import { remove, save } from '../../static/store/write.js';
import { FaultServer, parse, REFUSED } from './fault_server.mjs';
import { emptyBook, json, OTHER, recordOf, setTiming, someId, turns } from './support.mjs';

const SCHEDULES = Number(process.env.SYNC_SCHEDULES ?? 10);
const VISITS = 5;
const MAX_REQUESTS = 300;
const FIELDS = ['name', 'producer'];
const TIMING = {
  draft_ms: 0,
  max_push: 3,
  max_pull: 4,
  first_pull: 2,
  request_timeout_ms: 20,
  byte_ms: 0,
  backoff_first_ms: 0,
  backoff_max_ms: 0,
};

const never = () => new Promise(() => {});

/** One phone, its user, its server and another device, with faults drawn from a seed. */
class World {
  /** @param {number} seed @param {{ restores: boolean }} faults */
  constructor(seed, { restores }) {
    this.state = seed * 7919;
    this.restores = restores;
    this.calm = false;
    this.quiet = false;
    /** Number of the open page; a page that was killed does nothing more. */
    this.page = 0;
    this.die = () => {};
    this.count = { requests: 0, kills: 0, overlaps: 0, restored: 0 };
    this.open = 0;
    this.server = new FaultServer();
    this.own = Array.from({ length: 5 }, someId);
    this.shared = Array.from({ length: 3 }, someId);
    /** @type {Map<string, Record<string, string>>} the user's last values */
    this.last = new Map();
    /** @type {Map<string, boolean>} whether the user's last act was a deletion */
    this.gone = new Map();
    /** @type {Set<string>} */
    this.values = new Set();
    /** @type {any[]} */
    this.theirs = [];
    /** @type {string | null} */
    this.theirClock = null;
  }

  random() {
    this.state = (Math.imul(this.state, 1_664_525) + 1_013_904_223) >>> 0;
    return this.state / 2 ** 32;
  }

  /** @param {number} share */
  chance(share) {
    return !this.calm && this.random() < share;
  }

  /** @template T @param {T[]} some @returns {T} */
  pick(some) {
    return some[Math.floor(this.random() * some.length)];
  }

  kill() {
    this.page += 1;
    this.count.kills += 1;
    this.die();
    return never();
  }

  /** Let others act: the event loop, the user, another device, whoever restores the server. */
  async pause() {
    if (this.chance(0.5)) await turns();
    if (this.chance(0.12)) await this.edit();
    if (this.chance(0.06)) this.writeElsewhere();
    if (this.chance(0.03)) this.server.save();
    if (this.restores && this.chance(0.02)) {
      this.count.restored += 1;
      if (this.chance(0.2)) this.server.replace();
      else this.server.restore();
    }
  }

  /** Save or delete a record as the user does. */
  async edit(id = this.pick([...this.own, ...this.shared]), mayFail = true) {
    const removes = mayFail && this.last.has(id) && this.chance(0.15);
    const field = this.pick(FIELDS);
    const value = `${mayFail && this.chance(0.05) ? REFUSED : 'value'} ${this.values.size} ${this.random()}`;
    this.gone.set(id, removes);
    if (!removes) this.last.set(id, { ...this.last.get(id), [field]: value });
    if (!removes && !value.startsWith(REFUSED)) this.values.add(value);
    this.quiet = true;
    const done = removes ? remove('bottle', id) : save('bottle', id, { [field]: value });
    this.quiet = false;
    await done;
  }

  writeElsewhere() {
    const id = this.chance(0.5) ? this.pick(this.shared) : someId();
    this.theirClock = tick(this.theirClock, Date.now(), OTHER);
    const said = this.chance(0.2) ? {} : { name: [`other ${this.theirs.length}`, this.theirClock] };
    const mark = Object.keys(said).length === 0 ? { deleted: true, deleted_clock: this.theirClock } : {};
    this.theirs.push(recordOf(id, /** @type {any} */ (said), mark));
    this.server.apply(this.theirs.at(-1), 0, new Set());
  }

  /** Send again what a restored server may have lost, and correct what was refused. */
  async mend() {
    for (const change of this.theirs) this.server.apply(change, 0, new Set());
    for (const { id } of await db.outbox.where('held').equals(1).toArray()) {
      const name = `corrected ${this.random()}`;
      this.last.set(id, { ...this.last.get(id), name });
      this.gone.set(id, false);
      await save('bottle', id, { name });
    }
  }

  /** @param {any} init @returns {Promise<any>} */
  async fetch({ body, signal }) {
    const { page } = this;
    this.count.requests += 1;
    if (this.count.requests > MAX_REQUESTS) return this.kill();
    await this.pause();
    if (this.chance(0.02))
      return new Promise((_, fail) => {
        // A busy machine may have aborted it during the pause.
        if (signal.aborted) fail(signal.reason);
        signal.addEventListener('abort', fail);
      });
    if (this.chance(0.04)) {
      // The request arrives when the phone has given it up.
      turns().then(() => this.server.handle(body));
      throw new TypeError('Failed to fetch');
    }
    if (this.chance(0.05)) return new Response('', { status: this.pick([500, 503, 504]) });
    if (parse(body).changes.length > 1 && this.chance(0.05)) return new Response('', { status: 413 });
    const answer = this.server.handle(body);
    await this.pause();
    if (this.chance(0.04)) return this.kill();
    if (this.chance(0.04)) throw new TypeError('Failed to fetch');
    return page === this.page ? json(answer) : never();
  }

  /** @param {string} mode @param {() => Promise<any>} run @returns {Promise<any>} */
  async transact(mode, run) {
    const { page } = this;
    if (mode === 'rw') {
      await this.pause();
      if (this.chance(0.03)) return this.kill();
      if (this.chance(0.03)) throw new DOMException('no room', 'QuotaExceededError');
    }
    const done = await run();
    if (mode === 'rw') {
      await this.pause();
      if (this.chance(0.03)) return this.kill();
    }
    return page === this.page ? done : never();
  }
}

/** @type {World | null} */
let world = null;
const dexie = Object.getPrototypeOf(db);
const { transaction } = dexie;
/** @this {any} @param {any[]} args */
dexie.transaction = function faulty(...args) {
  const run = () => transaction.apply(this, args);
  return !world || world.quiet ? run() : world.transact(args[0], run);
};
globalThis.fetch = /** @type {any} */ (
  async (_, init) => {
    const here = /** @type {World} */ (world);
    here.open += 1;
    if (here.open > 1) here.count.overlaps += 1;
    try {
      return await here.fetch(init);
    } finally {
      here.open -= 1;
    }
  }
);

/** @param {number} seed @param {{ restores: boolean }} faults */
async function play(seed, faults) {
  world = null;
  setTiming(TIMING);
  await emptyBook();
  await bindOwner({ uid: 'o'.repeat(20), name: '' });
  const here = new World(seed, faults);
  if (here.chance(0.2))
    await db.meta.update('clock', {
      last: tick(null, Date.now() + 3_600_000, OTHER),
    });
  for (const id of here.own) await here.edit(id);
  world = here;
  for (let visit = 0; visit < VISITS; visit += 1) await visitOnce(here);
  here.calm = true;
  // A busy machine is slow, which is no fault now.
  setTiming({ ...TIMING, request_timeout_ms: 60_000 });
  here.page += 1;
  await turns();
  let end = '';
  for (let time = 0; time < 12 && !(end === 'done' && (await db.outbox.count()) === 0); time += 1) {
    await here.mend();
    ({ end } = await round(() => {}));
  }
  await check(here, end);
  return here.count;
}

/** Open the page, edit, and sync until the round ends or the page is killed. @param {World} here */
async function visitOnce(here) {
  for (let time = 0; time < 2; time += 1) await here.edit();
  if (here.chance(0.5)) here.writeElsewhere();
  const killed = new Promise((die) => {
    here.die = () => die(null);
  });
  // A browser without locks syncs in two tabs at once.
  const tabs = here.chance(0.2) ? 2 : 1;
  const rounds = Array.from({ length: tabs }, () => round(() => {}).catch(expectFull));
  await Promise.race([killed, Promise.all(rounds)]);
  if (here.chance(0.5)) await turns();
}

/** @param {unknown} error */
function expectFull(error) {
  if (!(error instanceof StoreError)) throw error;
}

/** @param {World} here @param {string} end */
async function check(here, end) {
  const phone = (await db.bottle.toArray()).map(({ gone: _, ...record }) => record);
  const { records, revisions } = here.server;
  const stored = [...records.values()].map(({ record }) => record);
  assert.ok(here.count.requests <= MAX_REQUESTS, 'the loop spins');
  assert.deepEqual([end, await db.outbox.toArray()], ['done', []]);
  assert.deepEqual(byId(phone), byId(stored));
  for (const id of here.own) {
    assert.deepEqual({ ...records.get(id)?.record.fields }, { ...here.last.get(id) });
    assert.equal((await db.bottle.get(id)).gone, Number(here.gone.get(id)));
  }
  if (here.restores) return;
  const kept = new Set([...revisions, ...stored.flatMap(({ fields }) => Object.values(fields))]);
  assert.deepEqual(
    [...here.values].filter((value) => !kept.has(value)),
    [],
  );
}

/** @param {any[]} records */
function byId(records) {
  return Object.fromEntries(
    records.map(({ id, fields, clocks, deleted, deleted_clock }) => [id, { fields, clocks, deleted, deleted_clock }]),
  );
}

for (const restores of [false, true]) {
  test(`random faults lose nothing${restores ? ' of a restored server' : ''}`, async () => {
    const sums = { requests: 0, kills: 0, overlaps: 0, restored: 0 };
    for (let seed = 1; seed <= SCHEDULES; seed += 1) {
      const count = await play(seed, { restores }).catch((cause) => {
        throw new Error(`seed ${seed}`, { cause });
      });
      for (const [name, times] of Object.entries(count)) sums[/** @type {keyof typeof sums} */ (name)] += times;
    }
    // The faults that this test is about were met.
    assert.ok(sums.kills > SCHEDULES && sums.requests > 5 * SCHEDULES, JSON.stringify(sums));
    assert.equal(sums.restored > 0, restores);
  });
}
