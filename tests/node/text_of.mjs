// The text of what a component draws, without a document.

/** @param {any} drawn a node of Preact, a text, or a list of them @returns {string} */
export function textOf(drawn) {
  if (Array.isArray(drawn)) return drawn.map(textOf).join(' ');
  if (drawn === null || typeof drawn === 'boolean' || drawn === undefined) return '';
  return typeof drawn === 'object' ? textOf(drawn.props?.children) : String(drawn);
}
