// Two phones write on duplicates, merge and delete them in random orders: all ends equal, and no late value is lost.
import assert from 'node:assert/strict';
import process from 'node:process';
import test, { mock } from 'node:test';
import { groupOf, mergeBottles } from '../../static/features/book/duplicates/duplicates.js';
import { db } from '../../static/store/database.js';
import { bottlesByIds } from '../../static/store/queries.js';
import { remove, save } from '../../static/store/write.js';
import { applyResponse } from '../../static/sync/apply_response.js';
import { buildRequest } from '../../static/sync/build_request.js';
import { buildNextRequest } from '../../static/sync/next_request.js';
import { FaultServer } from './fault_server.mjs';
import { DEVICE, NOW, OTHER, emptyBook, someId, useEmptyBook } from './support.mjs';

const ORDERS = Number(process.env.SYNC_SCHEDULES ?? 10);
const STEPS = 24;
const FIELDS = ['name', 'producer', 'region'];
/** A phone sends the values that it passed on, and hears of those of the other one. */
const MOST_ROUNDS = 4;

useEmptyBook();

/** Two phones that take turns in one database, and their server. */
class Two {
  /** @param {number} seed */
  constructor(seed) {
    this.state = seed * 7919;
    this.server = new FaultServer();
    this.bottles = [someId(), someId(), someId()];
    /** @type {any[]} stored phones; the open one is in the database */
    this.phones = [];
    this.open = 0;
    this.now = NOW;
    this.values = 0;
    /** @type {{ kept: string, twin: string, known: Record<string, string> } | null} the only merge */
    this.merge = null;
    this.merges = 0;
    this.passed = 0;
  }

  /** @param {number} most @returns {number} below it */
  random(most) {
    this.state = (Math.imul(this.state, 1_664_525) + 1_013_904_223) >>> 0;
    return Math.floor((this.state / 2 ** 32) * most);
  }

  async start() {
    await emptyBook({ device: OTHER });
    this.phones = [null, await dump()];
    await emptyBook({ device: DEVICE });
    for (const id of this.bottles) await save('bottle', id, { name: 'same' });
    for (const who of [0, 1]) await this.rest(who);
  }

  /** @param {number} who */
  async take(who) {
    if (who === this.open) return;
    this.phones[this.open] = await dump();
    for (const [table, rows] of Object.entries(this.phones[who])) {
      await db.table(table).clear();
      await db.table(table).bulkPut(rows);
    }
    this.open = who;
  }

  async step() {
    this.now += 1_000;
    mock.timers.setTime(this.now);
    await this.take(this.random(2));
    const at = this.random(3);
    const [id, other] = [this.bottles[at], this.bottles[(at + 1 + this.random(2)) % 3]].map(String);
    const what = this.random(12);
    if (what < 6) await this.write(id);
    else if (what < 8 && (this.merges === 0 || this.random(4) === 0)) await this.join(id, other);
    else if (what < 9 && this.random(3) === 0) await remove('bottle', id);
    else if (what < 10) this.server.handle((await this.request()).body);
    else await this.exchange(await this.request());
  }

  /** Write as a screen does, which shows the survivor as soon as the phone hears of a merge. @param {string} id */
  async write(id) {
    if ((await db.bottle.get(id))?.fields['merged_into']) return;
    const field = String(FIELDS[this.random(FIELDS.length)]);
    this.values += 1;
    await save('bottle', id, { [field]: this.random(5) === 0 ? null : `value ${this.values}` });
  }

  /** @param {string} kept @param {string} twin */
  async join(kept, twin) {
    const bottles = await bottlesByIds([kept, twin]);
    const [one, other] = [bottles.get(kept), bottles.get(twin)];
    if (!one || !other || one.gone || other.gone || one.fields['merged_into'] || other.fields['merged_into']) return;
    await mergeBottles(await groupOf([one, other], [one, other]));
    this.merges += 1;
    this.merge = { kept, twin, known: other.clocks };
  }

  request() {
    return buildRequest(1 + this.random(4), 2 + this.random(3));
  }

  /** Apply the answer, while the next request is perhaps on its way. @param {any} request */
  async exchange(request) {
    const answer = this.server.handle(request.body);
    const next = await buildNextRequest(answer, request, null, 2, 4);
    const later = next && this.server.handle(next.body);
    if (this.random(3) === 0) await this.write(String(this.bottles[0]));
    await applyResponse(answer, next ? { ...request, epoch: next.epoch } : request);
    if (next && this.random(3) > 0) await applyResponse(later, next);
    return answer.more;
  }

  /** Sync until nothing is left to send or receive. @param {number} who */
  async rest(who) {
    await this.take(who);
    for (let time = 0; time < 30; time += 1) {
      const request = await buildRequest(500, 1_000);
      const answer = this.server.handle(request.body);
      await applyResponse(answer, request);
      if (!answer.more && (await db.outbox.count()) === 0) return;
    }
    throw new Error('the phone does not come to rest');
  }

  async end() {
    for (let turn = 0; turn < MOST_ROUNDS; turn += 1) for (const who of [0, 1]) await this.rest(who);
    const { seq } = this.server;
    const stored = [...this.server.records.values()].map(({ record }) => record);
    for (const who of [0, 1]) {
      await this.rest(who);
      const rows = (await db.bottle.toArray()).map(({ gone: _, ...record }) => record);
      assert.deepEqual(byId(rows), byId(stored));
    }
    assert.equal(this.server.seq, seq, 'the phones go on writing');
    if (this.merges === 1) this.checkPassed();
  }

  checkPassed() {
    const { kept, twin, known } = /** @type {NonNullable<Two['merge']>} */ (this.merge);
    const [survivor, merged] = [kept, twin].map((id) => this.server.records.get(id)?.record);
    if (survivor.deleted) return;
    for (const [field, clock] of Object.entries(merged.clocks)) {
      const isLate = FIELDS.includes(field) && merged.fields[field] !== null && clock > (known[field] ?? '');
      if (!isLate) continue;
      this.passed += 1;
      assert.ok((survivor.clocks[field] ?? '') >= clock, `${field} was not passed on`);
    }
  }
}

/** @returns {Promise<Record<string, any[]>>} */
async function dump() {
  const tables = ['bottle', 'outbox', 'meta'];
  return Object.fromEntries(await Promise.all(tables.map(async (name) => [name, await db.table(name).toArray()])));
}

/** @param {any[]} records */
function byId(records) {
  return Object.fromEntries(records.map((record) => [record.id, record]));
}

test('phones end equal after merges in any order', async () => {
  let passed = 0;
  for (let seed = 1; seed <= ORDERS; seed += 1) {
    const two = new Two(seed);
    try {
      await two.start();
      for (let step = 0; step < STEPS; step += 1) await two.step();
      await two.end();
    } catch (cause) {
      throw new Error(`seed ${seed}`, { cause });
    }
    passed += two.passed;
  }
  assert.ok(passed > 0, 'no value was late');
});
