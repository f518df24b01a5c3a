// Preferred alcohol: a range slider over a histogram of the shelf.
import { html } from '../../../lib/ui.js';
import { abv } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { RangeSlider } from '../../../components/form/range_slider.js';
import { DotHistogram } from '../../../components/chart/dot_histogram.js';
import { axis, tickValues } from './abv_axis.js';
import { preferredText } from './abv_filter.js';
import { lacksAbv, rows, visibleRows, setPreferredAbv, preferred } from './shelf_state.js';

export function AbvSlider() {
  const { min, max } = axis.value;
  const { low, high } = preferred.value;
  const printed = rows.value.filter((row) => (row.pick.fields['state'] ?? 'open') === 'open').flatMap(printedAbv);
  return html`<section class="wanted-abv" aria-label=${t('shelf.wanted')}>
    <p class="wanted-words"><span class="soft small">${t('shelf.wanted')}</span>
      <span class="name">${preferredText(low, high)}</span></p>
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
    <p class="soft small wanted-count">${countText()}</p>
  </section>`;
}

/**
 * Return the number on the label, or the middle of the range that the label allows.
 * @param {import('./shelf_rows.js').ShelfRow} row
 */
function printedAbv({ label, range }) {
  if (typeof label['label_abv'] === 'number') return [label['label_abv']];
  return range.low === null || range.high === null ? [] : [(range.low + range.high) / 200];
}

/** Count the bottles by their position in the range. */
function countText() {
  const { inside: visible, outside } = visibleRows.value;
  const { low, high } = preferred.value;
  const numbered = [...visible, ...outside].filter((row) => !lacksAbv(row));
  if ((low === null && high === null) || !numbered.length) return '';
  const count = (/** @type {string} */ position) => numbered.filter((row) => row.position === position).length;
  return t('shelf.counts', { inside: count('inside'), stray: count('may_stray'), outside: count('outside') });
}
