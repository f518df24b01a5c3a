// The style of a bottle being added, with those that its name may tell.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { resolveBottle } from '../../../domain/bottle_names.js';
import { StylePicker } from '../../../domain/bottle/style_picker.js';
import { suggestStyles } from '../../../domain/bottle/style_search.js';
import { StyleSuggestions } from '../../../domain/bottle/style_suggestions.js';
import { shelf } from '../list/shelf_state.js';
import { setDraftFields, values } from './pick_draft.js';

export function StyleField() {
  const { name, style } = values.bottle.value;
  const recent = useMemo(() => recentStyles(), []);
  const choose = (/** @type {string | null} */ id) => setDraftFields('bottle', { style: id });
  return html`<${StylePicker} label=${t('field.style')} value=${style} placeholder=${t('shelf.choose_style')}
      likely=${() => suggestStyles(name, recent)} bottle=${values.bottle.value} onChange=${choose} />
    <${StyleSuggestions} bottle=${values.bottle.value} onChoose=${choose} />`;
}

function recentStyles() {
  const { picks, bottles } = shelf.peek();
  const styles = [...picks]
    .sort((a, b) => (a.id < b.id ? 1 : -1))
    .flatMap((pick) => resolveBottle(bottles, pick.fields['bottle'])?.fields['style'] ?? []);
  return [...new Set(styles)];
}
