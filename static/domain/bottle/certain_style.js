// Fills in the style that a typed name tells for certain. It follows the name until somebody chooses a style.
import { useEffect, useRef } from '../../lib/ui.js';
import { certainStyle, stylesFor } from '../../rules/label/style_from_name.js';

/** @param {{ bottle: Record<string, any>, onFill: (id: string | null) => void }} props */
export function CertainStyle({ bottle: { name, style, colour }, onFill }) {
  const filled = useRef(/** @type {string | null} */ (null));
  const isChosen = useRef(false);
  // A colour without a style is a choice too: a wine of no special style.
  if ((style ?? null) !== filled.current || (colour && !style)) isChosen.current = true;
  useEffect(() => {
    const id = name ? certainStyle(stylesFor(name)) : null;
    if (isChosen.current || id === filled.current) return;
    filled.current = id;
    onFill(id);
  }, [name]);
  return null;
}
