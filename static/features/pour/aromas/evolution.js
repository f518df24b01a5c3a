// Chart of how aromas appear and fade over noses and sips.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Timeline } from '../../../components/chart/aroma_timeline.js';
import { AROMA_FIELDS } from '../../../rules/tasting/aroma_fields.js';
import { evolution } from '../../../rules/tasting/nose.js';
import { aromaCourse, CHANGES } from './aroma_course.js';
import { aromaText } from '../../../domain/aroma/chips.js';
import { values } from '../../../domain/pour/current_pour.js';

/** What each aroma field belongs to, and its number there. @type {Record<string, { group: string, text: string }>} */
const MOMENTS = {
  first_nose_words: { group: 'nose', text: '1' },
  second_nose_words: { group: 'nose', text: '2' },
  sip_words: { group: 'sips', text: '1' },
  sip_2_words: { group: 'sips', text: '2' },
  sip_3_words: { group: 'sips', text: '3' },
};

/** @param {{ upTo: string }} props the last aroma field to include */
export function AromaEvolution({ upTo }) {
  const asked = AROMA_FIELDS.slice(0, AROMA_FIELDS.findIndex((field) => field === upTo) + 1);
  const tasting = Object.fromEntries(asked.map((field) => [field, values.tasting.value[field]]));
  const found = evolution(tasting);
  if (found.noted.length < 2) return null;
  const rows = found.words
    .map((aroma) => {
      const { strengths, change } = aromaCourse(aroma, tasting, found);
      return { id: aroma, name: aromaText(aroma), text: change && t(`pour.${change}`), change, strengths };
    })
    .sort((a, b) => CHANGES.indexOf(a.change) - CHANGES.indexOf(b.change));
  const moments = found.noted
    .flatMap((field) => MOMENTS[field] ?? [])
    .map(({ group, text }) => ({ group: t(`pour.moments_${group}`), text }));
  return html`<section class="evolution">
  <h2>${t('pour.evolution')}
  </h2>
  <${Timeline} moments=${moments} rows=${rows} />
  </section>`;
}
