// Conclusions on quality, oak, warmth and sweetness. Quality never uses the liking.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { abv, number } from '../../lib/format.js';
import { today } from '../../lib/datetime.js';
import { RangeBar } from '../../components/chart/range_bar.js';
import { assessOak } from '../../rules/tasting/oak.js';
import { assessQuality } from '../../rules/tasting/quality.js';
import { classifyDryness, compareWarmth } from '../../rules/tasting/assessments.js';
import { isAssumed, ruleText } from '../label_range_text.js';
import { lawfulRange } from '../lawful_range.js';
import { cachedSettings } from '../units.js';
import { EvidenceSection } from './section.js';
import { labelSweetness, printedSweetness } from './sweetness_label_check.js';

/**
 * @typedef {{ tasting: Record<string, any>, bottle: Record<string, any>, style: import('../style_names.js').Style |
 *   null }} EvidenceSource
 */

const HUNDREDTHS = 100;
// Thresholds of the likelihood ratio (or its inverse) for the texts "speaks for", "speaks clearly
// for", "speaks for new oak".
const SLIGHT_RATIO = 1.25;
const CLEAR_RATIO = 3;
const NEW_OAK_RATIO = 2;
// Threshold of a reason's effect on quality, which is between -2 and 1.5.
const PULLS_CLEARLY = 1.25;

/** @param {EvidenceSource} told */
export function QualityEvidence({ tasting }) {
  const { level, reasons, missing } = assessQuality(tasting);
  const lines = reasons.map(({ of, code, value, pull }) => ({
    text: t(`pour.quality_${of}`, {
      reading: t(of === 'finish' ? `pour.finish_${code}` : `pour.quality_code_${code}`),
      value: number(of === 'finish' ? Math.round(value ?? 0) : (value ?? 0)),
    }),
    effect: pullText(pull),
  }));
  const lacking = missing.map((name) => ({ text: t(`pour.quality_name_${name}`), effect: t('parts.not_judged') }));
  return html`<${EvidenceSection} title=${t('pour.evidence_quality')}
      summary=${t(level ? `pour.quality_level_${level}` : 'pour.quality_unknown')}
      reasons=${[...lines, ...lacking]} />`;
}

/** @param {EvidenceSource} told */
export function OakEvidence({ tasting, style }) {
  const assessment = assessOak(tasting, style);
  if (!assessment.oak)
    return html`<${EvidenceSection} title=${t('scale.oak')} summary=${t('pour.oak_unknown')} reasons=${[]} />`;
  const reasons = assessment.reasons.map(({ of, value, oak_ratio, new_ratio, note }) => ({
    text:
      of === 'aroma'
        ? t(`aroma_family.${value}`)
        : of === 'scale'
          ? t('pour.oak_scale', { value: number(Number(value)) })
          : t('pour.oak_nose'),
    note: note ? t(`pour.${note}`) : new_ratio >= NEW_OAK_RATIO ? t('evening.speaks_new') : null,
    effect: ratioText(oak_ratio),
  }));
  const parts = [t(`pour.oak_${assessment.oak}`), assessment.new ? t(`pour.oak_age_${assessment.new}`) : null]
    .filter(Boolean)
    .join(' ');
  return html`<${EvidenceSection} title=${t('scale.oak')} summary=${parts} reasons=${reasons} />`;
}

/** @param {number} pull */
function pullText(pull) {
  if (pull === 0) return t('pour.speaks_neither');
  return t(`pour.speaks_${pull > 0 ? 'for' : 'against'}${Math.abs(pull) >= PULLS_CLEARLY ? '_clearly' : ''}`);
}

/** @param {number} ratio */
function ratioText(ratio) {
  const size = Math.max(ratio, 1 / ratio);
  if (size < SLIGHT_RATIO) return t('pour.speaks_neither');
  const clearly = size >= CLEAR_RATIO ? '_clearly' : '';
  return t(`pour.speaks_${ratio > 1 ? 'for' : 'against'}${clearly}`);
}

/** @param {EvidenceSource} told */
export function WarmthEvidence({ tasting, bottle }) {
  const range = rangeOf(bottle);
  const comparison = compareWarmth(tasting, range, bottle['label_abv'] ?? null);
  const percent = (/** @type {number} */ hundredths) => abv(hundredths / HUNDREDTHS);
  // What is felt is known to a tenth at best.
  const nearly = (/** @type {number} */ hundredths) => abv(Math.round(hundredths / 10) / 10);
  const reasons = [
    ...(comparison.felt_low !== null && comparison.felt_high !== null
      ? [
          {
            text: t('pour.warmth_felt'),
            effect: comparison.felt_low
              ? t('pour.range', { low: nearly(comparison.felt_low), high: nearly(comparison.felt_high) })
              : t('pour.up_to', { high: nearly(comparison.felt_high) }),
          },
        ]
      : []),
    ...(bottle['label_abv'] ? [{ text: t('field.label_abv'), effect: abv(bottle['label_abv']) }] : []),
    ...(range.low !== null && range.high !== null
      ? [
          {
            text: t('pour.warmth_lawful'),
            effect: t('pour.range', { low: percent(range.low), high: percent(range.high) }),
            note: ruleText(range),
          },
        ]
      : []),
  ];
  // Without a known law the margin is ours, not the label's.
  const { code } = comparison;
  const isOurs = isAssumed(range) && code.endsWith('lawful');
  return html`<${EvidenceSection} title=${t('scale.warmth')}
      summary=${t(isOurs ? `pour.assumed_margin_${code}` : `pour.warmth_${code}`)} reasons=${reasons}>
    <${WarmthLine} felt=${comparison} range=${range} printed=${bottle['label_abv'] ?? null} />
  <//>`;
}

/**
 * @param {{ felt: ReturnType<typeof compareWarmth>, range: ReturnType<typeof lawfulRange>, printed: number | null }}
 *   props
 */
function WarmthLine({ felt: { felt_low, felt_high }, range: { low, high }, printed }) {
  if (felt_low === null || felt_high === null || low === null || high === null) return null;
  const ends = [felt_low, felt_high, low, high].map((value) => value / HUNDREDTHS);
  const [feltLow = 0, feltHigh = 0, lawfulLow = 0, lawfulHigh = 0] = ends;
  // Where no warmth is felt, the wine may have any strength below: the band is open at this end.
  const shownEnds = feltLow ? ends : ends.slice(1);
  const [min, max] = [Math.floor(Math.min(...shownEnds)), Math.ceil(Math.max(...shownEnds))];
  const notches = Array.from({ length: max - min + 1 }, (_, index) => min + index);
  const text = t(feltLow ? 'evening.warmth_line' : 'evening.warmth_line_up_to', {
    felt_low: abv(feltLow),
    felt_high: abv(feltHigh),
    low: abv(lawfulLow),
    high: abv(lawfulHigh),
  });
  return html`<${RangeBar} min=${min} max=${max} low=${lawfulLow} high=${lawfulHigh} stated=${printed}
      preferredLow=${feltLow} preferredHigh=${feltHigh} label=${text} notches=${notches} />
    <p class="soft small" aria-hidden="true">${t('evening.warmth_legend')}</p>`;
}

/** @param {Record<string, any>} bottle a reversed range counts as missing */
function rangeOf(bottle) {
  const { label_abv_low: low, label_abv_high: high } = bottle;
  return lawfulRange(
    low !== null && high !== null && low > high ? { ...bottle, label_abv_low: null, label_abv_high: null } : bottle,
    cachedSettings()['market'],
    today(),
  );
}

/** @param {EvidenceSource} told */
export function SweetnessEvidence({ tasting, bottle }) {
  const { code, because } = classifyDryness(
    tasting['sweetness'] ?? null,
    tasting['acidity'] ?? null,
    tasting['tannin'] ?? null,
  );
  const printed = printedSweetness(bottle);
  const allowed = labelSweetness(bottle);
  const reasons = [
    ...because.map((scale) => ({ text: t(`scale.${scale}`), effect: number(tasting[scale]) })),
    ...(printed
      ? [
          {
            text: t('pour.printed_word', { word: t(`label_words.${printed.term}`) }),
            effect: t(`pour.word_${printed.code}`),
          },
        ]
      : []),
  ];
  return html`<${EvidenceSection} title=${t('scale.sweetness')}
      summary=${code ? t('pour.felt_as', { reading: t(`pour.dryness_${code}`) }) : t('pour.sweetness_unknown')}
      reasons=${reasons}>
    ${allowed && html`<p class="small soft">${allowed}</p>`}<//>`;
}
