// Revisions of a record: values overruled by an edit or another device. The server stores them;
// they are loaded on demand.
import { html, useState } from '../../../lib/ui.js';
import { date } from '../../../lib/format.js';
import { hasMessage, t } from '../../../i18n.js';
import { fetchRevisions } from '../../../store/revisions.js';
import { parseAromas } from '../../../domain/aroma_text.js';
import { styleName } from '../../../domain/style_names.js';

/** @typedef {import('../../../store/revisions.js').Revision} Revision */
/** @typedef {import('../../../store/record.js').Kind} Kind */
/** @typedef {{ revisions: Revision[], fresh: boolean }} Answer */

/** @param {{ kind: Kind, id: string }} props */
export function Revisions({ kind, id }) {
  const [answer, setAnswer] = useState(/** @type {Answer | 'asking' | null} */ (null));
  const ask = async () => {
    setAnswer('asking');
    setAnswer(await fetchRevisions(kind, id));
  };
  return html`<section class="diary-step" aria-live="polite">
    ${
      answer === null
        ? html`<button type="button" class="button plain" onClick=${ask}>${t('book.earlier')}
    </button>`
        : html`<h2>${t('book.earlier')}
    </h2>`
    }
    ${answer === 'asking' && html`<p class="soft">${t('book.earlier_asking')}</p>`}
    ${answer !== null && answer !== 'asking' && html`<${Versions} answer=${answer} />`}
  </section>`;
}

/** @param {{ answer: Answer }} props */
function Versions({ answer }) {
  const { revisions, fresh } = answer;
  return html`${!fresh && html`<p class="soft small">${t('book.earlier_offline')}</p>`}
    ${revisions.length === 0 && fresh && html`<p class="soft">${t('book.earlier_none')}</p>`}
    <ul class="ruled">${revisions.map(
      (revision) => html`<li class="version">
      <span>${fieldName(revision.field)}: <b>${valueText(revision.field, revision.value)}</b>
      </span>
      <span class="soft small">
        ${date(clockMoment(revision.clock), {
          day: 'numeric',
          month: 'short',
          year: 'numeric',
          hour: 'numeric',
          minute: '2-digit',
        })}
      </span>
      </li>`,
    )}</ul>`;
}

/** @param {string} field */
function fieldName(field) {
  const scale = field.replace('just_right_', '');
  if (hasMessage(`field.${field}`)) return t(`field.${field}`);
  return hasMessage(`scale.${scale}`) ? t(`scale.${scale}`) : field;
}

/** @param {string} field @param {any} value */
export function valueText(field, value) {
  if (value === null || value === undefined || value === '') return t('book.not_said');
  if (Array.isArray(value))
    return field.endsWith('_words')
      ? parseAromas(value)
          .map((each) => each.text)
          .join(', ')
      : value.map((each) => t(`scale.${each}`)).join(', ');
  if (typeof value === 'boolean') return t(value ? 'book.yes' : 'book.no');
  if (field === 'guess_style') return styleName(value);
  for (const key of [
    `${field}.${value}`,
    field === 'look_hue' ? `hue.${value}` : '',
    field === 'look_colour' ? `colour.${value}` : '',
  ])
    if (key && hasMessage(key)) return t(key);
  return String(value);
}

/** Return the time at which a value was written, from its clock. @param {string} clock */
function clockMoment(clock) {
  return new Date(Number(clock.slice(0, 13))).toISOString();
}
