// A led tasting as the summary takes it, with likings and other answers.
export const LETTERS = ['A', 'B', 'C', 'D', 'E', 'F', 'G'];

/**
 * @param {Record<string, (number | null)[]>} likings by guest: one for each glass
 * @param {{ same?: [string, string], fields?: (guest: string, glass: string) => object }} [more]
 */
export function tableOf(likings, { same, fields = () => ({}) } = {}) {
  const names = Object.keys(likings);
  const size = Math.max(0, ...Object.values(likings).map((row) => row.length));
  const glasses = LETTERS.slice(0, size).map((id) => ({ id, mark: id, sameAs: same?.[1] === id ? same[0] : null }));
  const sheets = names.flatMap((guest) =>
    likings[guest].map((liking, at) => ({
      guest,
      glass: LETTERS[at],
      fields: { liking, ...fields(guest, LETTERS[at]) },
    })),
  );
  return { glasses, guests: names.map((id) => ({ id, name: id })), sheets };
}
