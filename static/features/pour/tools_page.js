// Page of tools for a tasting at a table: flights, triangle tests, serving.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { liveSignal, visits } from '../../store/queries.js';
import { Page } from '../shell/page.js';
import { Intake } from '../../domain/intake/intake.js';
import { currentVisit } from '../../domain/pour/visits.js';

const ROWS = /** @type {const} */ (['serving', 'flight', 'triangle', 'guesses']);

export function ToolsPage() {
  const running = useMemo(() => liveSignal(async () => currentVisit(await visits(), new Date()), null), []).value;
  return html`<${Page} title=${t('evening.title')} back="/pour" aside="">
    <ul class="ruled">
      ${
        running &&
        html`<li>
      <a class="row" href=${`#/pour/visit/${running.id}`}>
      <span class="grow">
      <span class="name">${running.fields['name'] ?? running.fields['place'] ?? t('evening.visit')}
      </span>
      <span class="soft small">${t('evening.visit_row')}
      </span>
      </span>
      <span aria-hidden="true">${'\u2192'}
      </span>
      </a>
      </li>`
      }
      ${ROWS.map(
        (row) => html`<li key=${row}>
      <a class="row" href=${`#/pour/${row}`}>
      <span class="grow">
      <span class="name">${t(`evening.${row}`)}
      </span>
      <span class="soft small">${t(`evening.${row}_row`)}
      </span>
      </span>
      <span aria-hidden="true">${'\u2192'}
      </span>
      </a>
      </li>`,
      )}
      </ul>
    <${Intake} visit=${running?.id} />
  <//>`;
}
