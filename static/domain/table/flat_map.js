// A map of tastes has two dimensions, and those of a table may need more.

/** Rounding must not decide between equal distances. */
const ROUNDING = 1e-9;

/**
 * Tell whether the two dimensions of the drawing put somebody nearer than who is closest.
 * @param {import('../../rules/table/table_summary.js').TasteMap} tastes
 */
export function isMisleading({ layout, closest }) {
  const places = new Map(layout.map((place) => [place.guest, place]));
  const drawn = (/** @type {string} */ one, /** @type {string} */ other) => {
    const [a, b] = [places.get(one), places.get(other)];
    return a && b ? Math.hypot(a.x - b.x, a.y - b.y) : Infinity;
  };
  return closest.some(({ guest, closest: nearest }) => {
    const others = layout.map((place) => place.guest).filter((other) => other !== guest);
    return nearest !== null && others.some((other) => drawn(guest, other) < drawn(guest, nearest) - ROUNDING);
  });
}
