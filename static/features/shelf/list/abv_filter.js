// Preferred alcohol: a range slider over a histogram of the shelf, and a sentence that opens number
// fields.
import { html, useSignalEffect } from '../../../lib/ui.js';
import { abv } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { RangeSlider } from '../../../components/form/range_slider.js';
import { DotHistogram } from '../../../components/chart/dot_histogram.js';
import { axis, tickValues } from './abv_axis.js';
import { lacksAbv, rows, savePreferredAbv, visibleRows, setPreferredAbv, preferred } from './shelf_state.js';

/** @param {{ onNumbers: () => void }} props */
export function AbvFilter({ onNumbers }) {
  useSignalEffect(savePreferredAbv);
  const { min, max } = axis.value;
  const { low, high } = preferred.value;
  const printed = rows.value
    .filter((row) => (row.pick.fields['state'] ?? 'open') === 'open')
    .flatMap(({ range }) => (range.low === null || range.high === null ? [] : [(range.low + range.high) / 200]));
  return html`<section class="wanted-abv" aria-label=${t('shelf.wanted')}>
    <button type="button" class="wanted-words" onClick=${onNumbers}>
    <span class="soft small">${t('shelf.wanted')}
    </span>
    <span class="name">${preferredText(low, high)}
    </span>
    </button>
    <${RangeSlider} lowLabel=${t('field.wanted_abv_low')} highLabel=${t('field.wanted_abv_high')} min=${min} max=${max}
        step=${0.1} low=${low !== null && low > min ? low : null} high=${high !== null && high < max ? high : null}
        format=${abv} onChange=${setPreferredAbv}>
      <${DotHistogram} min=${min} max=${max} step=${0.5} values=${printed}
          label=${t('shelf.strip', { count: printed.length })} />
    <//>
    <div class="wanted-figures figure" aria-hidden="true">
      ${tickValues({ min, max }).map(
        (value) => html`<span style=${{ left: `${((value - min) / (max - min)) * 100}%` }}>
        ${value}
      </span>`,
      )}
    </div>
    <${CountLine} />
  </section>`;
}

/** @param {number | null} low @param {number | null} high */
export function preferredText(low, high) {
  if (low !== null && high !== null) return t('shelf.wanted_between', { low: abv(low), high: abv(high) });
  if (high !== null) return t('shelf.wanted_upto', { high: abv(high) });
  return low !== null ? t('shelf.wanted_from', { low: abv(low) }) : t('shelf.wanted_any');
}

/** Show the counts in one line. */
function CountLine() {
  const { inside: visible, outside } = visibleRows.value;
  const { low, high } = preferred.value;
  if (low === null && high === null) return null;
  const numbered = [...visible, ...outside].filter((row) => !lacksAbv(row));
  if (!numbered.length) return null;
  const count = (/** @type {string} */ position) => numbered.filter((row) => row.position === position).length;
  return html`<p class="soft small">
    ${t('shelf.counts', { inside: count('inside'), stray: count('may_stray'), outside: count('outside') })}
  </p>`;
}
