// The finish of a sheet: one button that counts the seconds, and a field to correct them.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { FinishTimer } from '../../components/form/finish_timer.js';
import { NumberField } from '../../components/form/field.js';

/**
 * @typedef {object} Timer
 * @property {number | null} startedAt milliseconds since 1970; null if not running
 * @property {(startedAt: number | null) => void} onStart
 */

/**
 * @param {{ seconds: number | null | undefined, timer: Timer | undefined, max: number | undefined, onChange: (seconds:
 *   number | null) => void }} props
 */
export function SheetFinish({ seconds, timer, max, onChange }) {
  const [startedAt, setStartedAt] = useState(/** @type {number | null} */ (null));
  const clock = timer ?? { startedAt, onStart: setStartedAt };
  return html`<section class="finish"><h2>${t('pour.finish')}</h2>
    <${FinishTimer} seconds=${seconds} startedAt=${clock.startedAt} onStart=${clock.onStart}
      onStop=${(/** @type {number} */ count) => onChange(max === undefined ? count : Math.min(max, count))} />
    <${NumberField} label=${t('table.seconds')} value=${seconds} note=${t('pour.finish_note')}
      min=${0} max=${max} onChange=${onChange} />
  </section>`;
}
