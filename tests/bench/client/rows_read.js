// Run before the page: count the rows that queries return, so that a read of a whole table shows on any machine.
(() => {
  globalThis.rowsRead = 0;
  const counted = (
    /** @type {any} */ prototype,
    /** @type {string} */ name,
    /** @type {(result: any) => number} */ rows,
  ) => {
    const original = prototype[name];
    prototype[name] = function (...given) {
      const request = original.apply(this, given);
      request.addEventListener('success', () => {
        globalThis.rowsRead += rows(request.result);
      });
      return request;
    };
  };
  for (const { prototype } of [IDBObjectStore, IDBIndex]) {
    counted(prototype, 'get', (row) => Number(row !== undefined));
    counted(prototype, 'getAll', (rows) => rows.length);
    // This event comes for each row of a cursor.
    counted(prototype, 'openCursor', (cursor) => Number(cursor !== null));
  }
})();
