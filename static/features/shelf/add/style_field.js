// The style of a bottle being added. One that the name tells is filled in, as in a list, and follows the name until
// somebody chooses.
import { html, useEffect, useMemo, useRef } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { resolveBottle } from '../../../domain/bottle_names.js';
import { StylePicker } from '../../../domain/bottle/style_picker.js';
import { suggestStyles } from '../../../domain/bottle/style_search.js';
import { StyleSuggestions } from '../../../domain/bottle/style_suggestions.js';
import { shelf } from '../list/shelf_state.js';
import { pickDraft, setDraftFields, values } from './pick_draft.js';

export function StyleField() {
  const { name, style } = values.bottle.value;
  const recent = useMemo(() => recentStyles(), []);
  const filled = useRef(/** @type {string | null} */ (null));
  const isChosen = useRef(false);
  const choose = (/** @type {string | null} */ id) => {
    isChosen.current = true;
    setDraftFields('bottle', { style: id });
  };
  useEffect(() => {
    let active = true;
    if (name) {
      styleOfName(name).then((id) => {
        const isOwn = (values.bottle.peek()['style'] ?? null) === filled.current;
        if (!active || isChosen.current || !isOwn || id === filled.current || pickDraft.peek()?.known) return;
        filled.current = id;
        setDraftFields('bottle', { style: id });
      });
    }
    return () => {
      active = false;
    };
  }, [name]);
  return html`<${StylePicker} label=${t('field.style')} value=${style} placeholder=${t('shelf.choose_style')}
      likely=${() => suggestStyles(name, recent)} bottle=${values.bottle.value} onChange=${choose} />
    <${StyleSuggestions} bottle=${values.bottle.value} onChoose=${choose} />`;
}

/** @param {string} name @returns {Promise<string | null>} null if the name leaves it open */
async function styleOfName(name) {
  try {
    const { certainStyle, stylesFor } = await import('../../../rules/label/style_from_name.js');
    return certainStyle(stylesFor(name));
  } catch {
    return null;
  }
}

function recentStyles() {
  const { picks, bottles } = shelf.peek();
  const styles = [...picks]
    .sort((a, b) => (a.id < b.id ? 1 : -1))
    .flatMap((pick) => resolveBottle(bottles, pick.fields['bottle'])?.fields['style'] ?? []);
  return [...new Set(styles)];
}
