// Fields for the style of the bottle, and for the guessed style.
import { html, useEffect, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { bottlesByIds, latestTastings } from '../../../store/queries.js';
import { resolveBottle } from '../../../domain/bottle_names.js';
import { styleFields } from '../../../domain/bottle/style_fields.js';
import { FieldSlot } from '../../../domain/pour/fields.js';
import { values, setFields } from '../../../domain/pour/current_pour.js';
import { suggestStyles } from '../../../domain/bottle/style_search.js';
import { StylePicker } from '../../../domain/bottle/style_picker.js';
import { useLazy } from '../../shell/lazy.js';
import { toldByName } from './name_input.js';

const MAX_TASTINGS = 40;
const loadOffers = () => toldByName().then((module) => module.StyleSuggestions);

/** Select the style. This also sets colour and kind, unless the user has set them. */
export function StyleField() {
  const fields = values.bottle.value;
  const choose = (/** @type {string | null} */ style) => setFields('bottle', styleFields(fields, style));
  const Offers = useLazy(fields['name'] ? loadOffers : null);
  return html`<${FieldSlot} side="bottle" field="style">
    <${NamedOrRecent} label=${t('field.style')} value=${fields['style']} name=${fields['name']}
      bottle=${fields} onChange=${choose} />
    ${Offers && html`<${Offers} bottle=${fields} onChoose=${choose} />`}<//>`;
}

export function GuessedStyle() {
  return html`<${FieldSlot} side="tasting" field="guess_style">
    <${NamedOrRecent} label=${t('field.guess_style')} value=${values.tasting.value['guess_style']} name=${null}
    onChange=${(/** @type {string | null} */ id) => setFields('tasting', { guess_style: id })} /><//>`;
}

/**
 * @param {{ label: string, value: string | null | undefined, name: string | null | undefined, bottle?: Record<string,
 *   any>, onChange: (id: string | null) => void }} props
 */
function NamedOrRecent({ label, value, name, bottle, onChange }) {
  const [recent, setRecent] = useState(/** @type {string[]} */ ([]));
  useEffect(() => {
    recentStyles().then(setRecent);
  }, []);
  return html`<${StylePicker} label=${label} value=${value} placeholder=${t('pour.choose_style')}
      likely=${() => suggestStyles(name, recent)} bottle=${bottle ?? null} onChange=${onChange} />`;
}

/** @returns {Promise<string[]>} */
async function recentStyles() {
  const tastings = await latestTastings(MAX_TASTINGS);
  const bottles = await bottlesByIds(tastings.map((row) => row.fields['bottle']));
  return [
    ...new Set(
      tastings.flatMap((row) => {
        const bottle = resolveBottle(bottles, row.fields['bottle'])?.fields ?? {};
        // Not for a bottle with hidden label, because its style would come first among the guesses.
        return bottle['covered'] ? [] : (bottle['style'] ?? []);
      }),
    ),
  ];
}
