// Records that the server rejected, each with its errors and two ways to fix it.
import { html, useMemo } from '../../lib/ui.js';
import { bottlesByIds, liveSignal, record } from '../../store/queries.js';
import { save } from '../../store/write.js';
import { locale, t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { bottleName, resolveBottle } from '../../domain/bottle_names.js';

/** @typedef {import('../../store/record.js').Kind} Kind */
/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ code: string, bound?: number }} Fault */
/** @typedef {{ kind: Kind, id: string, errors: Record<string, Fault[]> }} RefusedRecord */

/** @param {{ refused: RefusedRecord[] }} props */
export function RejectedRecords({ refused }) {
  if (!refused.length) return null;
  return html`<h3 class="warm">${t('settings.refused')}</h3>
    <p class="soft small">${t('settings.refused_note')}</p>
    <ul class="ruled refused">${refused.map((one) => html`<${RefusedEntry} key=${one.id} refused=${one} />`)}</ul>`;
}

/** @param {{ refused: RefusedRecord }} props */
function RefusedEntry({ refused }) {
  const { kind, id, errors } = refused;
  const name = useMemo(() => liveSignal(() => nameOf(kind, id), ''), [kind, id]).value;
  return html`<li>
    <span class="name">${name}</span>
    ${Object.entries(errors).flatMap(([field, faults]) =>
      faults.map(
        (fault) => html`<p class="field-error">
      ${faultWords(field, fault)}
    </p>`,
      ),
    )}
    <div class="buttons">
      <a class="button" href=${placeOf(kind, id)}>${t('settings.mend')}</a>
      <button type="button" class="button plain" onClick=${() => leaveOut(refused)}>${t('settings.leave_out')}</button>
    </div>
  </li>`;
}

/** @param {string} field @param {Fault} fault */
function faultWords(field, { code, bound }) {
  // Without grouping, because the bound may be a year.
  const said =
    bound === undefined ? {} : { bound: new Intl.NumberFormat(locale(), { useGrouping: false }).format(bound) };
  const reason = t(`error.${code}`, said);
  // Errors of the whole record name no field.
  return field === 'record' ? reason : t('settings.refused_reason', { field: fieldWords(field), reason });
}

/** Find the name of a field, among the scales too. @param {string} field */
function fieldWords(field) {
  const found = ['field', 'scale']
    .map((group) => `${group}.${field.replace('just_right_', '')}`)
    .find((key) => t(key) !== key);
  return found ? t(found) : field;
}

/** @param {Kind} kind @param {string} id */
async function nameOf(kind, id) {
  const row = await record(kind, id);
  if (kind === 'settings') return t('settings.title');
  if (kind === 'visit') return row?.fields['name'] ?? t('field.visit');
  const bottleId = kind === 'bottle' ? id : row?.fields['bottle'];
  return bottleName(resolveBottle(await bottlesByIds([bottleId]), bottleId));
}

/**
 * @param {Kind} kind
 * @param {string} id returns the route of its editor
 */
function placeOf(kind, id) {
  if (kind === 'tasting') return `#/pour/${id}`;
  if (kind === 'bottle') return `#/book/bottle/${id}`;
  if (kind === 'pick') return '#/shelf';
  return kind === 'settings' ? '#/settings' : '#/book';
}

/**
 * Clear the invalid values, so that the rest of the record can be sent. Undo restores them.
 * @param {RefusedRecord} refused
 */
async function leaveOut({ kind, id, errors }) {
  const held = /** @type {Row} */ (await record(kind, id)).fields;
  const fields = Object.keys(errors).filter((field) => field in held);
  await save(kind, id, Object.fromEntries(fields.map((field) => [field, null])));
  showToast(t('settings.left_out'), () => {
    putBack(
      kind,
      id,
      fields.map((field) => [field, held[field]]),
    );
  });
}

/** The phone may itself reject values that an older release accepted; then nothing is sent. */
/** @param {Kind} kind @param {string} id @param {unknown[][]} values */
async function putBack(kind, id, values) {
  await save(kind, id, Object.fromEntries(values)).catch(() => showToast(t('settings.not_put_back')));
}
