// Run inside the page: likely liking of 1,000 bottles on the shelf, with the palate that was learned.
async () => {
  const { scoreBottle } = await import('/rules/palate/score.js');
  const { palate } = await import('/store/palate_cache.js');
  const compact = palate.value.compact;
  const styles = Object.keys(compact.profiles);
  const bottles = Array.from({ length: 1000 }, (_, n) => ({
    style: styles[n % styles.length],
    label_abv: 11 + (n % 40) / 10,
  }));
  const taken = [];
  for (let round = 0; round < 15; round += 1) {
    const start = performance.now();
    for (const bottle of bottles) scoreBottle(compact, bottle);
    taken.push(performance.now() - start);
    await new Promise((done) => setTimeout(done, 20));
  }
  return { first_ms: taken[0], median_ms: taken.sort((a, b) => a - b)[7] };
};
