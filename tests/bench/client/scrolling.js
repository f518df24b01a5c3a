// Run inside the page: long tasks (over 50 ms, W3C Long Tasks) while a thumb flings down the Book, and down a bare
// page.
async ({ screens }) => {
  const flung = async () => {
    const tasks = [];
    const observer = new PerformanceObserver((list) => tasks.push(...list.getEntries().map((one) => one.duration)));
    observer.observe({ type: 'longtask' });
    scrollTo(0, 0);
    const from = performance.now();
    for (let step = 0; step < screens * 12; step += 1) {
      scrollBy(0, innerHeight / 12);
      await new Promise((done) => requestAnimationFrame(done));
    }
    const took = performance.now() - from;
    await new Promise((done) => setTimeout(done, 200));
    tasks.push(...observer.takeRecords().map((one) => one.duration));
    observer.disconnect();
    return { long: tasks.length, longest_ms: Math.max(0, ...tasks), frame_ms: took / (screens * 12) };
  };
  const book = await flung();
  const main = document.querySelector('main');
  const bare = document.createElement('div');
  bare.className = 'bare-height';
  bare.style.height = `${document.documentElement.scrollHeight}px`;
  main.hidden = true;
  document.body.append(bare);
  const floor = await flung();
  bare.remove();
  main.hidden = false;
  return { book, floor };
};
