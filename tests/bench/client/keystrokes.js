// Run inside the page: from a keystroke to the paint after it, for the Book's search and for a bare filter over the
// same texts. It is one function, since the browser is given it as one expression.
/* eslint-disable max-lines-per-function */
async () => {
  const ROWS = 30;
  const WORDS = ['riesling', 'bottle 77', 'chianti', 'pinot noir', 'zzyzx', 'white'];
  const { searchIndex } = await import('/domain/search_index.js');
  const entries = searchIndex.value;
  const input = document.querySelector('.book-search input');
  const painted = () =>
    new Promise((done) =>
      requestAnimationFrame(() => {
        const channel = new MessageChannel();
        channel.port1.onmessage = () => done(performance.now());
        channel.port2.postMessage(null);
      }),
    );

  const typeInto = async (word) => {
    const times = [];
    for (let letters = 0; letters <= word.length; letters += 1) {
      await painted();
      input.value = word.slice(0, letters);
      const start = performance.now();
      input.dispatchEvent(new Event('input', { bubbles: true }));
      times.push((await painted()) - start);
    }
    return times.slice(1);
  };

  const list = document.createElement('ul');
  const bare = async (word) => {
    const times = [];
    for (let letters = 1; letters <= word.length; letters += 1) {
      await painted();
      const start = performance.now();
      const wanted = word.slice(0, letters);
      const found = entries.filter((entry) => entry.text.includes(wanted));
      list.replaceChildren(
        ...found.slice(0, ROWS).map((entry) => {
          const row = document.createElement('li');
          row.className = 'list-row';
          const name = document.createElement('span');
          name.className = 'name';
          name.textContent = entry.about.name;
          const line = document.createElement('span');
          line.textContent = `${entry.about.line} ${entry.liking ?? ''}`;
          row.append(name, line);
          return row;
        }),
      );
      times.push((await painted()) - start);
    }
    return times;
  };

  const room = [];
  for (const word of WORDS) room.push(...(await typeInto(word)));
  await typeInto('');
  document.querySelector('.tasting-list').hidden = true;
  document.querySelector('main').append(list);
  const plain = [];
  for (const word of WORDS) plain.push(...(await bare(word)));
  list.remove();
  document.querySelector('.tasting-list').hidden = false;
  const sorted = (times) => [...times].sort((a, b) => a - b);
  const at = (times, share) => sorted(times)[Math.floor(share * (times.length - 1))];
  return {
    entries: entries.length,
    keystrokes: room.length,
    room_ms: at(room, 0.5),
    room_p95_ms: at(room, 0.95),
    bare_ms: at(plain, 0.5),
    bare_p95_ms: at(plain, 0.95),
  };
};
