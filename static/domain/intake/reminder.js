// Reminder after every third pour to drink water and eat. It can be confirmed or turned off.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { timestamp } from '../../lib/datetime.js';
import { localState } from '../../store/local_state.js';
import { liveSignal } from '../../store/queries.js';
import { Choice } from '../../components/form/choice.js';
import { poursOf } from '../pour/visit_pours.js';

/** @typedef {{ wanted: boolean, had_at: string | null }} Water */

const AFTER_POURS = 3;

const water = localState(
  'water',
  /** @returns {value is Water} */ (/** @type {unknown} */ value) =>
    typeof (/** @type {any} */ (value)?.wanted) === 'boolean',
);

/** Turn the reminder on or off. */
export function ReminderChoice() {
  const isOn = water.value?.wanted ?? true;
  return html`<${Choice} label=${t('evening.remind')} value=${isOn ? 'yes' : 'no'} options=${[
    { id: 'yes', label: t('pour.yes') },
    { id: 'no', label: t('pour.no') },
  ]}
    onChange=${(/** @type {string | null} */ choice) => {
      if (choice) water.set({ wanted: choice === 'yes', had_at: water.peek()?.had_at ?? null });
    }} />`;
}

/** Show the reminder on the page of the next pour. */
export function IntakeReminder() {
  const poured = useMemo(() => liveSignal(() => poursOf(undefined), { rows: [], bottles: new Map() }), []).value.rows;
  const { wanted: isOn = true, had_at = null } = water.value ?? {};
  const saved = poured.filter(({ fields }) => fields['closed_at']);
  const since = saved.filter(
    ({ fields }) => had_at === null || Date.parse(fields['closed_at']) > Date.parse(had_at),
  ).length;
  if (!isOn || since < AFTER_POURS) return null;
  // Water from before the first of these wines belongs to another day.
  const question = t(since < saved.length ? 'evening.water' : 'evening.water_first', { count: since });
  return html`<div class="water" role="status"><p class="voice">${question}</p>
    <div class="buttons">
    <button type="button" class="button" onClick=${() => water.set({ wanted: true, had_at: timestamp() })}>
      ${t('evening.water_had')}
    </button>
      <button type="button" class="button plain" onClick=${() => water.set({ wanted: false, had_at })}>
        ${t('evening.water_off')}
      </button>
      </div>
      </div>`;
}
