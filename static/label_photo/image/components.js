// Finds connected pieces of ink.

/** @typedef {import('./gray.js').Gray} Gray */
/** @typedef {{ left: number, top: number, right: number, bottom: number, ink: number }} Piece ends are exclusive */

/** Darker than this is ink. */
const INK = 140;

/**
 * @param {Gray} even print dark on white
 * @returns {Piece[]}
 */
export function inkPieces({ data, width, height }) {
  /** @type {number[]} for each run of ink the run that it was joined to */
  const parent = [];
  /** @type {Piece[]} */
  const runs = [];
  const root = (/** @type {number} */ run) => {
    let at = run;
    while (parent[at] !== at) at = parent[at] = Number(parent[Number(parent[at])]);
    return at;
  };
  let [aboveFrom, aboveTo] = [0, 0];
  for (let y = 0; y < height; y += 1) {
    const from = runs.length;
    let above = aboveFrom;
    for (let x = 0; x < width; x += 1) {
      if (Number(data[y * width + x]) >= INK) continue;
      const left = x;
      while (x < width && Number(data[y * width + x]) < INK) x += 1;
      const run = runs.length;
      runs.push({ left, top: y, right: x, bottom: y + 1, ink: x - left });
      parent.push(run);
      // Joined also across a corner, because thin strokes break at half the resolution.
      while (above < aboveTo && Number(runs[above]?.right) < left) above += 1;
      for (let other = above; other < aboveTo && Number(runs[other]?.left) <= x; other += 1) {
        const [a, b] = [root(other), root(run)];
        if (a !== b) parent[Math.max(a, b)] = Math.min(a, b);
      }
    }
    [aboveFrom, aboveTo] = [from, runs.length];
  }
  return joined(runs, root);
}

/** @param {Piece[]} runs @param {(run: number) => number} root @returns {Piece[]} */
function joined(runs, root) {
  /** @type {Map<number, Piece>} */
  const pieces = new Map();
  runs.forEach((run, at) => {
    const piece = pieces.get(root(at));
    if (!piece) pieces.set(root(at), { ...run });
    else {
      piece.left = Math.min(piece.left, run.left);
      piece.right = Math.max(piece.right, run.right);
      piece.bottom = Math.max(piece.bottom, run.bottom);
      piece.ink += run.ink;
    }
  });
  return [...pieces.values()];
}
