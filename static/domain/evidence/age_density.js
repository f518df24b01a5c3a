// Age distribution as an area over an axis of years, with the 80 % interval below and the vintage
// above.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { number, percent } from '../../lib/format.js';

/** @typedef {import('../../rules/tasting/age.js').AgeEstimate} AgeEstimate */

const USUAL_END = 30;
const FAR_END = 60;
const NOTCH_YEARS = 5;
const FAR_NOTCH_YEARS = 10;
const FULL = 100;

/** @param {{ estimate: AgeEstimate, vintageAge: number | null, vintage: string }} props */
export function AgeDensity({ estimate: { bands, low, middle, high }, vintageAge, vintage }) {
  const end = Math.max(vintageAge ?? 0, high ?? 0) > USUAL_END ? FAR_END : USUAL_END;
  const step = end === USUAL_END ? NOTCH_YEARS : FAR_NOTCH_YEARS;
  const at = (/** @type {number} */ years) => (Math.min(end, years) / end) * FULL;
  // Bands have different widths, so the height is the share per year.
  const highest = Math.max(...bands.map(density));
  return html`<figure class="age-strip">
    ${
      vintageAge !== null &&
      html`<figcaption class="age-vintage small" aria-hidden="true">
    <span style=${placed(at(vintageAge))}>${vintage}
    </span>
    </figcaption>`
    }
    <svg viewBox=${`0 0 ${FULL} ${FULL}`} preserveAspectRatio="none" aria-hidden="true" focusable="false">
      ${bands
        .filter((band) => band.low < end)
        .map(
          (band) => html`<rect x=${at(band.low)}
          width=${at(band.high) - at(band.low)} y=${FULL - (FULL * density(band)) / highest}
          height=${(FULL * density(band)) / highest} />`,
        )}
      ${vintageAge !== null && html`<path class="vintage-stroke" d=${`M${at(vintageAge)} 0 V${FULL}`} />`}</svg>
    ${
      low !== null &&
      high !== null &&
      middle !== null &&
      html`<div class="age-span" aria-hidden="true">
    <span class="bar" style=${{ left: `${at(low)}%`, right: `${FULL - at(high)}%` }}>
    </span>
    <span class="dot" style=${{ left: `${at(middle)}%` }}>
    </span>
    </div>`
    }
    <div class="age-years figure small" aria-hidden="true">
      ${notches(end, step).map((years) => html`<span key=${years} style=${placed(at(years))}>${years}</span>`)}
    </div>
    <p class="age-unit soft small" aria-hidden="true">${t('evening.age_years')}</p>
    <div class="unseen">
    <table>
    <caption>${t('evening.age_table')}
    </caption>
    <tbody>
      ${bands.map(
        (band) => html`<tr key=${band.low}>
      <th scope="row">${t('evening.age_band', { low: number(band.low, 0), high: number(band.high, 0) })}
      </th>
      <td>${percent(band.share)}
      </td>
      </tr>`,
      )}
    </tbody>
    </table>
    </div>
  </figure>`;
}

/** @param {{ low: number, high: number, share: number }} band */
function density(band) {
  return band.share / (band.high - band.low);
}

/** @param {number} end @param {number} step */
function notches(end, step) {
  return Array.from({ length: end / step + 1 }, (_, index) => index * step);
}

/** Place a label at its value without leaving the page at either end. @param {number} share */
function placed(share) {
  return { left: `${share}%`, translate: `-${share}%` };
}
