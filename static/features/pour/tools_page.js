// Page of tools for a tasting at a table: flights, triangle tests, serving.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { liveSignal } from '../../store/queries.js';
import { Page } from '../shell/page.js';
import { Intake } from '../../domain/intake/intake.js';
import { runningVisit } from '../../domain/pour/visits.js';
import { ArrowRow } from '../../components/layout/row.js';

const ROWS = /** @type {const} */ (['serving', 'flight', 'triangle', 'guesses']);

export function ToolsPage() {
  const running = useMemo(() => liveSignal(runningVisit, null), []).value;
  return html`<${Page} title=${t('evening.title')} back="/pour" trailing="">
    <ul class="ruled">
      ${
        running &&
        html`<li>
      <${ArrowRow} href=${`#/pour/visit/${running.id}`} line=${t('evening.visit_row')}
          name=${running.fields['name'] ?? running.fields['place'] ?? t('evening.visit')} />
      </li>`
      }
      ${ROWS.map(
        (row) => html`<li key=${row}>
      <${ArrowRow} href=${`#/pour/${row}`} name=${t(`evening.${row}`)} line=${t(`evening.${row}_row`)} />
      </li>`,
      )}
      </ul>
    <${Intake} visit=${running?.id} />
  <//>`;
}
