// Chart of how aromas appear and fade over noses and sips.
import { html } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Timeline } from '../../../components/chart/aroma_timeline.js';
import { AROMA_FIELDS } from '../../../rules/tasting/aroma_fields.js';
import { evolution } from '../../../rules/tasting/nose.js';
import { parseEntry } from '../../../domain/aroma/entry.js';
import { aromaText } from '../../../domain/aroma/chips.js';
import { values } from '../../../domain/pour/current_pour.js';

const FATES = ['stayed', 'appeared', 'passed', 'faded'];

/** @param {{ upTo: string }} props the last aroma field to include */
export function AromaEvolution({ upTo }) {
  const asked = AROMA_FIELDS.slice(0, AROMA_FIELDS.findIndex((field) => field === upTo) + 1);
  const tasting = Object.fromEntries(asked.map((field) => [field, values.tasting.value[field]]));
  const { noted, words } = evolution(tasting);
  if (noted.length < 2) return null;
  const strands = words
    .map((word) => {
      const beads = noted.map((field) => beadOf(tasting[field], word));
      const fate = fateOf(beads);
      return { id: word, name: aromaText(word), said: t(`pour.${fate}`), fate, beads };
    })
    .sort((a, b) => FATES.indexOf(a.fate) - FATES.indexOf(b.fate));
  return html`<section class="evolution">
  <h2>${t('pour.evolution')}
  </h2>
  <${Timeline} moments=${noted.map((field) => t(`pour.moment_${field}`))} strands=${strands} />
  </section>`;
}

/**
 * @param {string[] | null | undefined} entries
 * @param {string} word
 * @returns {number | null} its strength, 0 without a strength, null if absent
 */
function beadOf(entries, word) {
  const entry = (entries ?? []).map(parseEntry).find((held) => held.word === word);
  return entry ? (entry.strength ?? 0) : null;
}

/** @param {(number | null)[]} beads */
function fateOf(beads) {
  const first = beads[0] !== null;
  const last = beads.at(-1) !== null;
  if (first && last) return 'stayed';
  if (last) return 'appeared';
  return first ? 'faded' : 'passed';
}
