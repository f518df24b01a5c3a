// Tasting along: follows the step that the leader has opened, or lets the guest choose.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { glassesOf, isLed, ledPlace, resumedPlace } from '../../domain/guest/place.js';
import { valuesOfGlass } from '../../domain/guest/seat_state.js';
import { glassName, GlassRow } from './glass_row.js';
import { GlassOverview } from './glass_overview.js';
import { GuestPage } from './guest_page.js';
import { LateElsewhere } from './late_answers.js';
import { StepView } from './step_view.js';
import { TableMenu } from './table_menu.js';
import { TurnCover } from './turn_cover.js';
import { Waiting } from './waiting.js';

/** @typedef {import('../../domain/guest/place.js').Place} Place */
/** @typedef {{ glass: string, step: string | null }} Shown step null: the whole glass */

/** @param {{ open: import('../../domain/guest/guest_store.js').Seat }} props */
export function TastePage({ open: { view, origin } }) {
  const led = ledPlace(view);
  const [chosen, setChosen] = useState(/** @type {Shown | null} */ (null));
  // While a glass is talked about, everybody looks at its answers.
  const isTalk = glassesOf(view).some(({ id, discussed }) => id === led?.glass && discussed);
  const ledKey = led ? `${led.glass}/${isTalk ? 'talk' : led.step}` : '';
  // What the leader opens comes to the front.
  useEffect(() => setChosen(null), [ledKey]);
  // Where a guest goes on at their own pace, fixed at the start; else an answer would turn the page.
  const [start] = useState(() => (isLed(view) ? null : resumedPlace(view, valuesOfGlass)));
  const shown = chosen ?? (led && isTalk ? { glass: led.glass, step: null } : led) ?? (isLed(view) ? null : start);
  const glass = glassesOf(view).find(({ id }) => id === shown?.glass);
  const title = glass ? glassName(glass) : view['table'].name || t('guest.welcome');
  const choose = (/** @type {Shown | null} */ next) => {
    setChosen(next);
    scrollTo(0, 0);
  };
  const name = isTalk ? t('guest.talk_now') : led ? t(`group_step.${led.step}`) : '';
  return html`<${GuestPage} title=${title} hasStatus=${true}>
    <${TurnCover} place=${ledKey} title=${title} name=${name} />
    <${GlassRow} view=${view} current=${glass?.id ?? ''} open=${led?.glass ?? ''}
      onChoose=${(/** @type {string} */ id) => choose({ glass: id, step: null })} />
    ${
      chosen &&
      led &&
      html`<p class="notice" role="status">${
        isTalk ? t('guest.leader_talks') : t('guest.leader_is_at', { step: t(`group_step.${led.step}`) })
      }<button type="button" class="button plain" onClick=${() => choose(null)}>${t('guest.follow')}</button></p>`
    }
    <${LateElsewhere} view=${view} shown=${shown} onChoose=${choose} />
    ${!glass && html`<${Waiting} view=${view} onChoose=${choose} />`}
    ${
      glass &&
      shown?.step &&
      html`<${StepView} key=${`${glass.id}/${shown.step}`} view=${view} glass=${glass}
      step=${shown.step} onChoose=${choose} />`
    }
    ${
      glass &&
      !shown?.step &&
      html`<${GlassOverview} key=${glass.id} view=${view} glass=${glass}
      onChoose=${choose} />`
    }
    ${(!glass || !shown?.step) && html`<${TableMenu} isByCodes=${origin === 'qr'} hasNotes=${hasNotes(view)} />`}
  <//>`;
}

/** @param {import('../../domain/guest/guest_store.js').View} view */
function hasNotes(view) {
  return glassesOf(view).some(({ id }) => Object.values(valuesOfGlass(id)).some((value) => value !== null));
}
