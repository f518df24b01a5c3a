// The bottles that are chilling, each as a row on the page of a pour.
import { html } from '../../lib/ui.js';
import { alertAt, chilling, placedName, timeOfDay } from './chill_timer.js';

export function ChillingRows() {
  return chilling.value.map(
    (bottle) => html`<a class="row ruled-row chilling-row" href="#/pour/serving" key=${bottle.started_ms}>
  <span class="grow">${placedName(bottle)}
  </span>
  <span class="figure soft">${timeOfDay(alertAt(bottle))}
  </span>
  </a>`,
  );
}
