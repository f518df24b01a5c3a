// Records that the server rejected, each with its errors and two ways to fix it.
import { html, useMemo } from '../../lib/ui.js';
import { bottlesByIds, liveSignal, record } from '../../store/queries.js';
import { save } from '../../store/write.js';
import { locale, t } from '../../i18n.js';
import { showToast } from '../../components/layout/toast.js';
import { bottleName, resolveBottle } from '../../domain/bottle_names.js';

/** @typedef {import('../../store/record.js').Kind} Kind */
/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ code: string, bound?: number }} FieldError */
/** @typedef {{ kind: Kind, id: string, errors: Record<string, FieldError[]> }} RejectedRecord */

/** @param {{ records: RejectedRecord[] }} props */
export function RejectedRecords({ records }) {
  if (!records.length) return null;
  return html`<h3 class="warm">${t('settings.refused')}</h3>
    <p class="soft small">${t('settings.refused_note')}</p>
    <ul class="ruled refused" aria-label=${t('settings.refused')}>${records.map(
      (one) => html`<${RejectedEntry} key=${one.id} record=${one} />`,
    )}</ul>`;
}

/** @param {{ record: RejectedRecord }} props */
function RejectedEntry({ record: rejected }) {
  const { kind, id, errors } = rejected;
  const name = useMemo(() => liveSignal(() => nameOf(kind, id), ''), [kind, id]).value;
  return html`<li>
    <span class="name">${name}</span>
    ${Object.entries(errors).flatMap(([field, fieldErrors]) =>
      fieldErrors.map(
        (error) => html`<p class="field-error">
      ${errorText(field, error)}
    </p>`,
      ),
    )}
    <div class="buttons">
      <a class="button" href=${editHash(kind, id)}>${t('settings.mend')}</a>
      <button type="button" class="button plain"
        onClick=${() => clearInvalid(rejected)}>${t('settings.leave_out')}</button>
    </div>
  </li>`;
}

/** @param {string} field @param {FieldError} fault */
function errorText(field, { code, bound }) {
  // Without grouping, because the bound may be a year.
  const parameters =
    bound === undefined ? {} : { bound: new Intl.NumberFormat(locale(), { useGrouping: false }).format(bound) };
  const isOfAll = field === 'record' && code === 'too_many';
  const reason = t(isOfAll ? 'error.too_many_details' : `error.${code}`, parameters);
  // Errors of the whole record name no field.
  return field === 'record' || code === 'unknown_kind'
    ? reason
    : t('settings.refused_reason', { field: fieldText(field), reason });
}

/** Find the name of a field, among the scales too. @param {string} field */
function fieldText(field) {
  const found = ['field', 'scale']
    .map((group) => `${group}.${field.replace('just_right_', '')}`)
    .find((key) => t(key) !== key);
  return found ? t(found) : field;
}

/** @param {Kind} kind @param {string} id */
export async function nameOf(kind, id) {
  const row = await record(kind, id);
  if (kind === 'settings') return t('settings.title');
  if (kind === 'visit') return row?.fields['name'] ?? t('field.visit');
  const bottleId = kind === 'bottle' ? id : row?.fields['bottle'];
  return bottleName(resolveBottle(await bottlesByIds([bottleId]), bottleId));
}

/**
 * @param {Kind} kind
 * @param {string} id
 * @returns {string} the route of its editor
 */
export function editHash(kind, id) {
  if (kind === 'tasting') return `#/pour/${id}`;
  if (kind === 'bottle') return `#/book/bottle/${id}`;
  if (kind === 'pick') return '#/shelf';
  return kind === 'settings' ? '#/settings' : '#/book';
}

/**
 * Clear the invalid values, so that the rest of the record can be sent. Undo restores them.
 * @param {RejectedRecord} refused
 */
async function clearInvalid({ kind, id, errors }) {
  const previous = /** @type {Row} */ (await record(kind, id)).fields;
  const fields = Object.keys(errors).filter((field) => field in previous);
  await save(kind, id, Object.fromEntries(fields.map((field) => [field, null])));
  showToast(t('settings.left_out'), () => {
    restoreValues(
      kind,
      id,
      fields.map((field) => [field, previous[field]]),
    );
  });
}

/** The phone may itself reject values that an older release accepted; then nothing is sent. */
/** @param {Kind} kind @param {string} id @param {unknown[][]} values */
async function restoreValues(kind, id, values) {
  await save(kind, id, Object.fromEntries(values)).catch(() => showToast(t('settings.not_put_back')));
}
