// Age estimate of a wine: range, reasons, and whether the vintage agrees.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { number } from '../../lib/format.js';
import { compareWithVintage, estimateAge } from '../../rules/tasting/age.js';
import { AgeDensity } from './age_density.js';
import { EvidenceSection } from './section.js';

/**
 * @param {{ tasting: Record<string, any>, bottle: Record<string, any>, style: import('../style_names.js').Style |
 *   null, own: import('./learned_cues.js').Own | null }} props
 */
export function AgeEvidence({ tasting, bottle, style, own }) {
  const estimate = estimateAge(tasting, bottle, style, own?.cues ?? null);
  const reasons = estimate.reasons.map((sign) => ({
    text: signText(sign.sign, sign.value),
    note: sign.note ? t(`pour.${sign.note}`) : null,
    effect:
      sign.direction === 'neither'
        ? t('pour.says_neither')
        : t(`pour.says_${sign.direction}`, { strength: t(`pour.strength_of_${sign.strength}`) }),
  }));
  if (!estimate.known)
    return html`<${EvidenceSection} title=${t('pour.evidence_age')} summary=${t('pour.age_unknown')}
        reasons=${reasons} />`;
  const figures = {
    count: Math.round(estimate.middle ?? 0),
    low: number(estimate.low ?? 0, 0),
    middle: number(estimate.middle ?? 0, 0),
    high: number(estimate.high ?? 0, 0),
  };
  const year = tasting['tasted_at'] ? Number(String(tasting['tasted_at']).slice(0, 4)) : new Date().getFullYear();
  const against = compareWithVintage(estimate, bottle['vintage'] ?? null, year);
  return html`<${EvidenceSection} title=${t('pour.evidence_age')} summary=${t('pour.age_reads', figures)}
      reasons=${reasons}>
    <${AgeDensity} estimate=${estimate} vintageAge=${against.age_years} vintage=${String(bottle['vintage'] ?? '')} />
    ${
      against.position !== 'unknown' &&
      html`<p>
      ${t(`pour.vintage_${against.position}`, { vintage: String(bottle['vintage']), count: against.age_years ?? 0 })}
    </p>`
    }
    ${
      own !== null &&
      own.bottles > 0 &&
      html`<p class="soft small">
      ${ownBottlesText(own, estimate, estimateAge(tasting, bottle, style))}
    </p>`
    }
    <//>`;
}

/** @param {string} sign @param {string} value */
function signText(sign, value) {
  if (sign === 'hue') return t('pour.sign_hue', { value: t(`hue.${value}`) });
  if (sign === 'aged_words') return t(`pour.sign_aged_${value}`);
  const field = sign === 'fruit_state' ? 'fruit_state' : `look_${sign}`;
  return t('pour.sign', { field: t(`field.${field}`), value: t(`${field}.${value}`) });
}

/**
 * Tell how much the user's own bottles of known vintage shift the estimate.
 * @param {import('./learned_cues.js').Own} own
 * @param {import('../../rules/tasting/age.js').AgeEstimate} estimate
 * @param {import('../../rules/tasting/age.js').AgeEstimate} without
 */
function ownBottlesText(own, estimate, without) {
  const shifted = Math.round(estimate.middle ?? 0) !== Math.round(without.middle ?? 0);
  const figures = { count: own.bottles, before: number(without.middle ?? 0, 0) };
  return t(shifted ? 'evening.own_shift' : 'evening.own_agree', figures);
}
