// The style of a bottle being added. One that the name tells is filled in, as in a list, and follows the name until
// somebody chooses.
import { html, useMemo } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { resolveBottle } from '../../../domain/bottle_names.js';
import { StylePicker } from '../../../domain/bottle/style_picker.js';
import { suggestStyles } from '../../../domain/bottle/style_search.js';
import { StyleSuggestions } from '../../../domain/bottle/style_suggestions.js';
import { useLazy } from '../../shell/lazy.js';
import { shelf } from '../list/shelf_state.js';
import { pickDraft, setDraftFields, values } from './pick_draft.js';

const loadCertain = () => import('../../../domain/bottle/certain_style.js').then((module) => module.CertainStyle);

export function StyleField() {
  const { name, style } = values.bottle.value;
  const recent = useMemo(() => recentStyles(), []);
  const choose = (/** @type {string | null} */ id) => setDraftFields('bottle', { style: id });
  const Certain = useLazy(name ? loadCertain : null);
  return html`<${StylePicker} label=${t('field.style')} value=${style} placeholder=${t('shelf.choose_style')}
      likely=${() => suggestStyles(name, recent)} bottle=${values.bottle.value} onChange=${choose} />
    <${StyleSuggestions} bottle=${values.bottle.value} onChoose=${choose} />
    ${Certain && !pickDraft.value?.known && html`<${Certain} bottle=${values.bottle.value} onFill=${choose} />`}`;
}

function recentStyles() {
  const { picks, bottles } = shelf.peek();
  const styles = [...picks]
    .sort((a, b) => (a.id < b.id ? 1 : -1))
    .flatMap((pick) => resolveBottle(bottles, pick.fields['bottle'])?.fields['style'] ?? []);
  return [...new Set(styles)];
}
