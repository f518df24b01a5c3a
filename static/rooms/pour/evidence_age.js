// How old the signs say a wine is: a spread of years, the reasons, and whether the vintage agrees.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { number } from '../../formats.js';
import { ageAgainstVintage, ageReading } from '../../trade/age.js';
import { Evidence } from './evidence_part.js';

/** @typedef {import('../../trade/age.js').AgeReading} AgeReading */

const HEIGHT = 48;
const BAR = 40;

/** @param {{ tasting: Record<string, any>, bottle: Record<string, any>, style: import('./style_finder.js').Style | null, own: import('../../trade/age_signs.js').OwnSigns | null }} props */
export function AgeEvidence({ tasting, bottle, style, own }) {
  const reading = ageReading(tasting, bottle, style, own);
  const reasons = reading.reasons.map((sign) => ({
    text: signText(sign.sign, sign.value), note: sign.note ? t(`pour.${sign.note}`) : null,
    says: sign.direction === 'neither' ? t('pour.says_neither') : t(`pour.says_${sign.direction}`, { strength: t(`pour.strength_of_${sign.strength}`) }),
  }));
  if (!reading.known) return html`<${Evidence} title=${t('pour.evidence_age')} reading=${t('pour.age_unknown')} reasons=${reasons} />`;
  const figures = { low: number(reading.low ?? 0, 0), middle: number(reading.middle ?? 0, 0), high: number(reading.high ?? 0, 0) };
  const year = tasting['tasted_at'] ? Number(String(tasting['tasted_at']).slice(0, 4)) : new Date().getFullYear();
  const against = ageAgainstVintage(reading, bottle['vintage'] ?? null, year);
  return html`<${Evidence} title=${t('pour.evidence_age')} reading=${t('pour.age_reads', figures)} reasons=${reasons}>
    <${YearsFigure} reading=${reading} vintageAge=${against.age_years} said=${t('pour.age_reads', figures)} />
    ${against.position !== 'unknown' && html`<p>${t(`pour.vintage_${against.position}`, { vintage: String(bottle['vintage']), count: against.age_years ?? 0 })}</p>`}<//>`;
}

/** @param {string} sign @param {string} value */
function signText(sign, value) {
  if (sign === 'hue') return t('pour.sign_hue', { value: t(`hue.${value}`) });
  if (sign === 'aged_words') return t(`pour.sign_aged_${value}`);
  const field = sign === 'fruit_state' ? 'fruit_state' : `look_${sign}`;
  return t('pour.sign', { field: t(`field.${field}`), value: t(`${field}.${value}`) });
}

/** One bar a band of years, as high as it is likely; the age by the vintage is a stroke through its band. @param {{ reading: AgeReading, vintageAge: number | null, said: string }} props */
function YearsFigure({ reading, vintageAge, said }) {
  const most = Math.max(...reading.bands.map((band) => band.share));
  const width = BAR * reading.bands.length;
  const at = vintageAge === null ? -1 : reading.bands.findIndex((band) => vintageAge < band.high);
  return html`<figure class="years" role="img" aria-label=${said}><svg viewBox=${`0 0 ${width} ${HEIGHT}`} preserveAspectRatio="none" aria-hidden="true">
      ${reading.bands.map((band, index) => html`<rect x=${index * BAR + 2} width=${BAR - 4} y=${HEIGHT - HEIGHT * band.share / most} height=${HEIGHT * band.share / most} />`)}
      ${at >= 0 && html`<path class="vintage-stroke" d=${`M${(at + 0.5) * BAR} 0 V${HEIGHT}`} />`}</svg>
    <div class="years-scale figure" aria-hidden="true">${reading.bands.map((band, index) => html`<span>${index === reading.bands.length - 1 ? t('pour.years_and_more', { low: band.low }) : number(band.low, 0)}</span>`)}</div></figure>`;
}
