// Run in a page: the least that a phone can do. Gives milliseconds.
async ({ url, what, count }) => {
  const book = globalThis.floorBook;
  const pack = async (text) =>
    new Response(new Blob([text]).stream().pipeThrough(new CompressionStream('gzip'))).arrayBuffer();

  const push = async () => {
    for (;;) {
      const rows = await book.outbox.limit(500).toArray();
      if (rows.length === 0) return;
      const body = await pack(JSON.stringify({ changes: rows }));
      const answer = await fetch(`${url}/push`, { method: 'POST', body });
      await answer.json();
      await book.outbox.where(':id').between(rows[0].id, rows.at(-1).id, true, true).delete();
    }
  };

  const pull = async () => {
    for (let cursor = 0, held = 0; held < count;) {
      const told = await (await fetch(`${url}/pull?after=${cursor}&limit=1000`)).json();
      await book.note.bulkPut(told.changes);
      held += told.changes.length;
      cursor = told.cursor;
    }
  };

  const start = performance.now();
  await (what === 'push' ? push() : pull());
  const taken = performance.now() - start;
  const left = await book[what === 'push' ? 'outbox' : 'note'].count();
  if (left !== (what === 'push' ? 0 : count)) throw new Error('not whole');
  return taken;
};
