// Run inside the page: write tastings, bottles and visits straight into the tables until there are so many.
async ({ tastings, each }) => {
  const { db } = await import('/store/database.js');
  const YEARS = 10;
  const DAY_MS = 86_400_000;
  const start_ms = Date.parse('2006-01-01T19:00:00Z');
  const id = (n) => `01800000-0000-7000-8000-${n.toString(16).padStart(12, '0')}`;
  const models = { tasting: await db.tasting.limit(each).toArray(), bottle: await db.bottle.limit(each).toArray() };
  const wanted = { tasting: tastings, bottle: Math.floor(tastings / 3), visit: Math.floor(tastings / 10) };
  const row = (kind, n, fields) => {
    const clocks = Object.fromEntries(Object.keys(fields).map((name) => [name, '1700000000000-0000-fillingup1']));
    return { kind, id: id(n), fields, clocks, deleted: false, deleted_clock: null, gone: 0 };
  };
  const fieldsOf = {
    bottle: (n) => ({ ...models.bottle[n % models.bottle.length].fields, name: `Old bottle ${n}` }),
    visit: (n) => ({ name: `Evening ${n}`, on: new Date(start_ms + n * DAY_MS).toISOString().slice(0, 10) }),
    tasting: (n) => {
      const at = new Date(start_ms + (n / wanted.tasting) * YEARS * 365 * DAY_MS).toISOString();
      const model = models.tasting[n % models.tasting.length].fields;
      return {
        ...model,
        bottle: id(n % Math.max(1, wanted.bottle)),
        visit: id(n % Math.max(1, wanted.visit)),
        tasted_at: at,
        closed_at: at,
      };
    },
  };
  for (const kind of ['bottle', 'visit', 'tasting']) {
    const missing = wanted[kind] - (await db[kind].count());
    for (let from = 0; from < missing; from += 1000) {
      const count = Math.min(1000, missing - from);
      await db[kind].bulkPut(Array.from({ length: count }, (_, at) => row(kind, from + at, fieldsOf[kind](from + at))));
    }
  }
  return db.tasting.count();
};
