// Suggests styles for the typed name of a wine. The table of names is loaded when a name is first
// typed.
import { html, useEffect, useId, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { styleName } from '../style_names.js';

const MAX_SHOWN = 3;

/**
 * @param {{ bottle: Record<string, any>, onChoose: (id: string) => void }} props no suggestions if
 *   the bottle has a style
 */
export function StyleSuggestions({ bottle: { name, region, style }, onChoose }) {
  const label = useId();
  const [styles, setStyles] = useState(/** @type {string[]} */ ([]));
  const asked = style ? null : name;
  useEffect(() => {
    let active = true;
    if (!asked) setStyles([]);
    else {
      import('../../rules/label/style_from_name.js').then(
        ({ stylesFor }) => {
          if (active) setStyles(stylesFor(asked, { region }).map((each) => each.style));
        },
        () => {},
      );
    }
    return () => {
      active = false;
    };
  }, [asked, region]);
  return (
    asked &&
    styles.length > 0 &&
    html`<div role="group" aria-labelledby=${label}>
      <p class="label" id=${label}>${t('pour.styles_offered')}</p>
      <div class="chips">${styles.slice(0, MAX_SHOWN).map(
        (id) => html`<button type="button"
    class="choice" key=${id} onClick=${() => onChoose(id)}>${styleName(id)}</button>`,
      )}</div>
    </div>`
  );
}
