// A guest waits: before the first glass, between steps, or at the end, when the labels can be looked at.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { ArrowRow } from '../../components/layout/row.js';
import { wineName } from '../../domain/bottle_names.js';
import { glassesOf, isLed, shownGlasses } from '../../domain/guest/place.js';
import { useLazy } from '../shell/lazy.js';
import { glassName } from './glass_row.js';

const endingPart = () => import('./ending.js').then(({ Ending }) => Ending);

/**
 * @param {{ open: import('../../domain/guest/guest_store.js').Seat, onChoose: (shown:
 *   import('./where.js').Shown) => void }} props
 */
export function Waiting({ open, onChoose }) {
  const { view } = open;
  const Ending = useLazy(view['results'] ? endingPart : null);
  const leader = view['table'].leader_name || t('guest.the_leader');
  const glasses = glassesOf(view);
  const named = shownGlasses(view);
  const shown = named.every(({ uncovered }) => uncovered) ? 'labels_now' : 'answers_now';
  const hasBegun = glasses.some(({ closed, discussed }) => discussed || Object.keys(closed ?? {}).length > 0);
  const beginning = isLed(view) ? 'wait_start' : 'wait_free';
  const key = named.length ? shown : hasBegun ? 'wait_on' : beginning;
  return html`<p class="voice guide" role="status">${t(`guest.${key}`, { leader })}</p>
    ${!hasBegun && html`<p class="soft">${t('guest.wait_hint')}</p>`}
    ${
      named.length > 0 &&
      html`<ul class="ruled">${named.map(
        (glass) =>
          html`<li key=${glass.id}><${ArrowRow} name=${glass.bottle ? wineName(glass.bottle) : glassName(glass)}
        line=${glass.bottle ? glassName(glass) : t('guest.glass_talk')}
        onClick=${() => onChoose({ glass: glass.id, step: null })} /></li>`,
      )}</ul>`
    }
    ${Ending && html`<${Ending} open=${open} />`}`;
}
