// Revisions of a record: values superseded by an edit or another device. The server stores them; they are asked
// for when their place comes near, because only a note that has some offers them.
import { html, useEffect, useLayoutEffect, useRef, useState } from '../../../lib/ui.js';
import { abv, date, number } from '../../../lib/format.js';
import { hasMessage, t } from '../../../i18n.js';
import { fetchRevisions } from '../../../store/revisions.js';
import { syncStatus } from '../../../sync/status.js';
import { clockMs } from '../../../store/hlc.js';
import { parseAromas } from '../../../domain/aroma_text.js';
import { styleName } from '../../../domain/style_names.js';

/** @typedef {import('../../../store/revisions.js').Revision} Revision */
/** @typedef {import('../../../store/record.js').Kind} Kind */
/** @typedef {{ revisions: Revision[], fresh: boolean }} Answer */

const MINUTE_MS = 60_000;
const NEAR = '400px';

/** @param {{ of: { kind: Kind, id: string }[] }} props of: records whose versions are listed together */
export function Revisions({ of }) {
  const [answer, setAnswer] = useState(/** @type {Answer | null} */ (null));
  const [opened, setOpened] = useState(false);
  const section = useRef(/** @type {HTMLElement | null} */ (null));
  // Every change that was synced may bring more.
  const { cursor } = syncStatus.value;
  useEffect(() => {
    let isLatest = true;
    const observer = new IntersectionObserver(
      async (entries) => {
        if (!entries.some((entry) => entry.isIntersecting)) return;
        observer.disconnect();
        const found = joined(await Promise.all(of.map(({ kind, id }) => fetchRevisions(kind, id))));
        if (isLatest) setAnswer(found);
      },
      { rootMargin: NEAR },
    );
    if (section.current) observer.observe(section.current);
    return () => {
      isLatest = false;
      observer.disconnect();
    };
  }, [cursor]);
  // The list opens below the button, where the bar at the bottom would cover it.
  useLayoutEffect(() => {
    if (opened) section.current?.scrollIntoView({ block: 'start' });
  }, [opened]);
  return html`<section class=${opened ? 'tasting-step opened' : 'tasting-step'} ref=${section}>${
    answer &&
    html`<${Offer} answer=${answer} opened=${opened}
    onOpen=${() => setOpened(true)} />`
  }</section>`;
}

/** @param {{ answer: Answer, opened: boolean, onOpen: () => void }} props nothing without any version */
function Offer({ answer, opened, onOpen }) {
  const { revisions, fresh } = answer;
  if (!revisions.length) return !fresh && html`<p class="soft small">${t('book.earlier_unreachable')}</p>`;
  if (!opened) return html`<button type="button" class="button plain" onClick=${onOpen}>${t('book.earlier')}</button>`;
  return html`<h2>${t('book.earlier')}</h2><${Versions} answer=${answer} />`;
}

/**
 * Join the revisions of several records, newest first. What reads the same within a minute is listed once.
 * @param {Answer[]} answers
 * @returns {Answer}
 */
export function joined(answers) {
  const revisions = answers
    .flatMap((answer) => answer.revisions)
    .sort((one, other) => (one.clock < other.clock ? 1 : one.clock > other.clock ? -1 : 0));
  const read = (/** @type {Revision} */ { field, value, clock }) =>
    JSON.stringify([field, value, Math.floor(clockMs(clock) / MINUTE_MS)]);
  const seen = new Set();
  return {
    revisions: revisions.filter((revision) => !seen.has(read(revision)) && seen.add(read(revision))),
    fresh: answers.every(({ fresh }) => fresh),
  };
}

/** @param {{ answer: Answer }} props */
function Versions({ answer }) {
  const { revisions, fresh } = answer;
  return html`${!fresh && html`<p class="soft small">${t('book.earlier_offline')}</p>`}
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
  if (field === 'deleted') return t('book.earlier_deleted');
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
  if (field === 'guess_style' || field === 'style') return styleName(value);
  if (typeof value === 'number') return numberText(field, value);
  for (const key of [
    `${field}.${value}`,
    field === 'look_hue' ? `hue.${value}` : '',
    field === 'look_colour' ? `colour.${value}` : '',
  ])
    if (key && hasMessage(key)) return t(key);
  return String(value);
}

/** @param {string} field @param {number} value */
function numberText(field, value) {
  if (hasMessage(`${field}.${value}`)) return t(`${field}.${value}`);
  if (/^(?:label|guess)_abv/.test(field)) return abv(value);
  return field === 'vintage' ? String(value) : number(value, 2);
}

/** Return the time at which a value was written, from its clock. @param {string} clock */
function clockMoment(clock) {
  return new Date(clockMs(clock)).toISOString();
}
