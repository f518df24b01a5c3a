// Aroma picker of the current pour, with suggestions from the notebook.
import { html, useEffect, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { latestTastings } from '../../../store/queries.js';
import { countAromas, ownWords, recent } from '../../../domain/aroma/ranking.js';
import { expectedAromas } from '../../../domain/aroma/colour_families.js';
import { WordPicker } from '../../../domain/aroma/word_picker.js';
import { errorText, FieldSlot } from '../../../domain/pour/fields.js';
import { currentPour, isLabelHidden, values, setFields } from '../../../domain/pour/current_pour.js';
import { lookedAtColour } from '../../../domain/look_colour.js';

const MAX_TASTINGS = 300;

/** @param {{ field: string, label?: string, excluded?: string[] }} props offered: aromas shown elsewhere on the page */
export function AromaPicker({ field, label = t(`field.${field}`), excluded = [] }) {
  const change = (/** @type {(entries: string[] | null | undefined) => string[] | null} */ next) =>
    setFields('tasting', { [field]: next(values.tasting.peek()[field]) });
  const ranking = useRanking();
  // With a hidden label, suggestions by style would reveal the style.
  const bottle = isLabelHidden.value ? null : values.bottle.value;
  const expected = { ...ranking, ...expectedAromas(lookedAtColour(values.tasting.value), bottle) };
  return html`<${FieldSlot} side="tasting" field=${field}>
    <${WordPicker} label=${label} noted=${values.tasting.value[field]} onChange=${change} expected=${expected}
      excluded=${excluded} error=${errorText('tasting', field)} /><//>`;
}

const NOTHING_NOTED = {
  counts: /** @type {Map<string, number>} */ (new Map()),
  last: /** @type {string[]} */ ([]),
  own: /** @type {string[]} */ ([]),
};

/** Load how often each aroma was noted, and which were the last and one's own ones in other tastings. */
function useRanking() {
  const [noted, setNoted] = useState(NOTHING_NOTED);
  const own = currentPour.value?.tasting;
  useEffect(() => {
    latestTastings(MAX_TASTINGS).then((rows) => {
      // The words of the example are those of its invented taster.
      const mine = rows.filter((row) => row.fields['example'] !== true);
      const others = mine.filter((row) => row.id !== own).map((row) => row.fields);
      setNoted({
        counts: countAromas(mine.map((row) => row.fields)),
        last: recent(others),
        own: ownWords(others),
      });
    });
  }, [own]);
  return noted;
}
