// Place and visit of the pour, as a row that opens a sheet.
import { html, useMemo, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { date } from '../../lib/format.js';
import { liveSignal, tastingsOfVisit, visit } from '../../store/queries.js';
import { LazySheet } from '../shell/lazy.js';
import { FieldSlot } from '../../domain/pour/fields.js';
import { currentPour, values } from '../../domain/pour/current_pour.js';

/** @typedef {import('../../store/record.js').Row} Row */

const visitSheet = () => import('./visit_sheet.js').then((module) => module.VisitSheet);

export function VisitRow() {
  const [open, setOpen] = useState(false);
  const running = useVisit();
  const { place } = values.tasting.value;
  const text = [running?.name, place !== running?.name ? place : null].filter(Boolean).join(', ');
  return html`<${FieldSlot} side="tasting" field="visit">
    <button type="button" class="where-row" onClick=${() => setOpen(true)}>
      <span class=${text ? 'grow' : 'grow soft'}>${text || t('pour.where_empty')}</span>
      <span class="soft small">
        ${running ? t('pour.pour_number', { count: running.number }) : t(text ? 'pour.where_change' : 'pour.where_add')}
      </span>
      </button>
    <${LazySheet} loader=${visitSheet} open=${open} running=${running} onClose=${() => setOpen(false)} />
    <//>`;
}

/** @returns {{ id: string, name: string, number: number } | null} the visit of the pour, and the pour's number in it */
function useVisit() {
  const pour = currentPour.value;
  const id = values.tasting.value['visit'];
  const found = useMemo(
    () => liveSignal(async () => (id ? { row: await visit(id), pours: await tastingsOfVisit(id) } : null), null),
    [id],
  );
  const now = found.value;
  if (!id || !now?.row || now.row.gone) return null;
  const at = now.pours.findIndex((row) => row.id === pour?.tasting);
  const { name, place, on } = now.row.fields;
  return {
    id,
    name: name ?? place ?? t('pour.visit_unnamed', { on: on ? date(on) : '' }),
    number: (at < 0 ? now.pours.length : at) + 1,
  };
}
