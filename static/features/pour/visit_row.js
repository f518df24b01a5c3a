// Place and visit of the pour: a row, and the sheet behind it.
import { html, useEffect, useMemo, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { date } from '../../lib/format.js';
import { liveSignal, latestTastings, tastingsOfVisit, visit } from '../../store/queries.js';
import { showToast } from '../../components/layout/toast.js';
import { Sheet } from '../../components/layout/sheet.js';
import { TextField } from '../../components/form/field.js';
import { useLazy } from '../shell/lazy.js';
import { FieldSlot, TextInput } from '../../domain/pour/fields.js';
import { setDefaults, currentPour, values } from '../../domain/pour/current_pour.js';
import { endVisit, resumeVisit, startVisit } from '../../domain/pour/visits.js';

/** @typedef {import('../../store/record.js').Row} Row */

const PLACES = 12;
const MAX_TASTINGS = 100;
const loadIntake = () => import('../../domain/intake/intake.js').then((module) => module.Intake);

export function VisitRow() {
  const [open, setOpen] = useState(false);
  const running = useVisit();
  const { place } = values.tasting.value;
  const text = [running?.name, place !== running?.name ? place : null].filter(Boolean).join(', ');
  return html`<${FieldSlot} side="tasting" field="visit">
    <button type="button" class="where-row" onClick=${() => setOpen(true)}>
      <span class=${text ? 'grow' : 'grow soft'}>${text || t('pour.where_empty')}</span>
      <span class="soft small">${running ? t('pour.pour_number', { count: running.number }) : t('pour.where_change')}
      </span>
      </button>
    <${Sheet} title=${t('pour.where')} open=${open} onClose=${() => setOpen(false)}>
      <${VisitSheet} running=${running} onDone=${() => setOpen(false)} />
    <//>
    <//>`;
}

/** @param {{ running: { id: string, name: string } | null, onDone: () => void }} props */
function VisitSheet({ running, onDone }) {
  const places = usePlaces();
  const LazyIntake = useLazy(running && loadIntake);
  const [name, setName] = useState(/** @type {string | null} */ (null));
  const start = async () => {
    const id = await startVisit({ name, place: values.tasting.peek()['place'] ?? null });
    setDefaults({ visit: id });
    onDone();
  };
  const end = async (/** @type {string} */ id) => {
    await endVisit(id);
    const isCreated = currentPour.peek()?.created;
    if (!isCreated) setDefaults({ visit: null });
    onDone();
    showToast(t('pour.visit_ended'), () =>
      resumeVisit(id).then(() => {
        if (!isCreated) setDefaults({ visit: id });
      }),
    );
  };
  return html`<${PlaceLine} places=${places} />
    ${
      running
        ? html`<p>${t('pour.in_visit', { name: running.name })}
        </p>
        <div class="buttons">
        <button type="button" class="button" onClick=${() => end(running.id)}>${t('pour.end_visit')}
        </button>
          <button type="button" class="button plain" onClick=${() => {
            setDefaults({ visit: null });
            onDone();
          }}>${t('pour.not_in_visit')}</button>
          </div>
          <p><a class="button" href=${`#/pour/visit/${running.id}`}>${t('evening.visit_open')}</a>
          </p>
          ${LazyIntake && html`<${LazyIntake} visit=${running.id} />`}`
        : html`<p class="field-note">${t('pour.visit_note')}
        </p>
        <${TextField} label=${t('pour.visit_name')} value=${name} maxLength=${120} onChange=${setName} />
          <button type="button" class="button" onClick=${start}>${t('pour.start_visit')}</button>`
    }`;
}

/** @param {{ places: string[] }} props */
function PlaceLine({ places }) {
  if (currentPour.value?.created) return html`<${TextInput} field="place" list=${places} />`;
  return html`<${FieldSlot} side="tasting" field="place">
    <${TextField} label=${t('field.place')} value=${values.tasting.value['place']} list=${places} maxLength=${120}
    onChange=${(/** @type {string | null} */ place) => setDefaults({ place })} /><//>`;
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

/** @returns {string[]} recently noted places without duplicates */
function usePlaces() {
  const [places, setPlaces] = useState(/** @type {string[]} */ ([]));
  useEffect(() => {
    latestTastings(MAX_TASTINGS).then((rows) =>
      setPlaces([...new Set(rows.flatMap((row) => row.fields['place'] ?? []))].slice(0, PLACES)),
    );
  }, []);
  return places;
}
