// Earlier triangle tests, each with a link to its visit.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { date } from '../../lib/format.js';
import { liveSignal, visits } from '../../store/queries.js';
import { ExpandableList } from '../../components/layout/expandable_list.js';
import { isTriangle } from '../../domain/blind/triangle_store.js';
import { Row } from '../../components/layout/row.js';

/** @typedef {import('../../store/record.js').Row} Row */

const INITIAL_COUNT = 4;

export function TriangleHistory() {
  const triangles = useMemo(
    () => liveSignal(async () => (await visits()).filter((row) => isTriangle(row.fields)), /** @type {Row[]} */ ([])),
    [],
  ).value;
  if (!triangles.length) return null;
  const latestFirst = [...triangles].sort((a, b) => (a.id < b.id ? 1 : -1));
  return html`<section class="blind-part"><h2>${t('evening.triangle_earlier')}</h2>
    <${ExpandableList} items=${latestFirst} initialCount=${INITIAL_COUNT}
      more=${t('evening.show_all', { count: triangles.length })}
        lessText=${t('evening.show_fewer')}
      row=${(/** @type {Row} */ { id, fields }) => html`<li key=${id}>
        <${Row} href=${`#/pour/visit/${id}`}
            name=${fields['triangle_wines'] ?? fields['name'] ?? t('evening.triangle')}
            line=${fields['on'] ? date(fields['on']) : ''}>
          <span class="figure">
            ${t('evening.triangle_of', { correct: fields['triangle_found'], trials: fields['triangle_rounds'] })}
          </span>
        <//>
        </li>`} />
        </section>`;
}
