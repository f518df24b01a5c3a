// Sheet to set the place of the pour, and to start or end a visit.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { latestTastings } from '../../store/queries.js';
import { newId } from '../../store/write.js';
import { showToast } from '../../components/layout/toast.js';
import { Sheet } from '../../components/layout/sheet.js';
import { TextField } from '../../components/form/field.js';
import { useLazy } from '../shell/lazy.js';
import { FieldSlot, TextInput } from '../../domain/pour/fields.js';
import { setDefaults, currentPour, values } from '../../domain/pour/current_pour.js';
import { endVisit, resumeVisit, startVisit } from '../../domain/pour/visits.js';

const PLACES = 12;
const MAX_TASTINGS = 100;
const loadIntake = () => import('../../domain/intake/intake.js').then((module) => module.Intake);

/** @typedef {{ id: string, name: string }} Running */

/** @param {{ open: boolean, running: Running | null, onClose: () => void }} props */
export function VisitSheet({ open, running, onClose }) {
  return html`<${Sheet} title=${t('pour.where')} open=${open} onClose=${onClose}>
    <${VisitForm} running=${running} onDone=${onClose} />
  <//>`;
}

/** @param {{ running: Running | null, onDone: () => void }} props */
function VisitForm({ running, onDone }) {
  const places = usePlaces();
  const LazyIntake = useLazy(running && loadIntake);
  const [name, setName] = useState(/** @type {string | null} */ (null));
  const start = async () => {
    const id = newId();
    const started = startVisit(id, { name, place: values.tasting.peek()['place'] ?? null });
    // At once, because a page that is closed would leave the note out of its visit.
    setDefaults({ visit: id });
    await started;
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
          <button type="button" class="button" data-once onClick=${start}>${t('pour.start_visit')}</button>`
    }`;
}

/** @param {{ places: string[] }} props */
function PlaceLine({ places }) {
  if (currentPour.value?.created) return html`<${TextInput} field="place" list=${places} />`;
  return html`<${FieldSlot} side="tasting" field="place">
    <${TextField} label=${t('field.place')} value=${values.tasting.value['place']} list=${places} maxLength=${120}
    onChange=${(/** @type {string | null} */ place) => setDefaults({ place })} /><//>`;
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
