// Conclusions from one tasting, each with its reasons and their strength. Needs the messages of
// `pour`, `hues`, `aromas` and `evening`.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { styleOf } from '../style_names.js';
import { AgeEvidence } from './age.js';
import { OakEvidence, QualityEvidence, SweetnessEvidence, WarmthEvidence } from './sections.js';
import { useLearnedCues } from './learned_cues.js';

/** @typedef {Record<string, any>} Fields */

/** @param {{ id: string, tasting: Fields, bottle: Fields, covered?: boolean }} props covered: the label is not used */
export function Evidence({ id, tasting, bottle, covered = false }) {
  const own = useLearnedCues(id);
  const label = covered ? {} : bottle;
  const source = { tasting, bottle: label, style: styleOf(label['style']) };
  return html`<${QualityEvidence} ...${source} />
  <${AgeEvidence} ...${source} own=${own} />
  <${OakEvidence} ...${source} />
  <${WarmthEvidence} ...${source} />
  <${SweetnessEvidence} ...${source} />
    <p class="field-note">${t('pour.evidence_basis')}</p>`;
}

/** Tell whether the tasting has a field that a conclusion uses. @param {Fields} tasting */
export function hasEvidence(tasting) {
  return CUES.some((field) =>
    Array.isArray(tasting[field]) ? tasting[field].length > 0 : tasting[field] !== null && tasting[field] !== undefined,
  );
}

const CUES = [
  'look_hue',
  'look_rim',
  'look_gradation',
  'first_nose_words',
  'second_nose_words',
  'sip_words',
  'fruit_state',
  'sweetness',
  'warmth',
  'oak',
  'balance',
  'complexity',
  'finish_s',
];
