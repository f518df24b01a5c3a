// The styles that a typed name speaks of, proposed for one tap. The table of names is loaded when a name is first
// typed.
import { useEffect, useState } from '../../ui.js';

/**
 * @param {string | null | undefined} name
 * @param {string | null | undefined} region
 * @returns {string[]} style ids, the best first; none where the name says nothing
 */
export function useNamedStyles(name, region) {
  const [styles, setStyles] = useState(/** @type {string[]} */ ([]));
  useEffect(() => {
    let wanted = true;
    if (name)
      import('../../trade/style_names.js').then(
        ({ stylesFor }) => {
          if (wanted) setStyles(stylesFor(name, { region: region ?? null }).map(({ style }) => style));
        },
        () => {},
      );
    else setStyles([]);
    return () => {
      wanted = false;
    };
  }, [name, region]);
  return styles;
}
