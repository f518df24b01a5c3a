// The lines of a label, of which some are the wine's name and some the producer's.
import { html, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { PhotoPiece } from './photo_piece.js';

/** @typedef {import('./reader.js').Line} Line */
/** @typedef {Record<number, string>} Roles `name` or `producer`, by line */

const ROLES = /** @type {const} */ (['name', 'producer']);
const FIRST_COUNT = 4;

/**
 * Return the names that the chosen lines make; a name of several lines is joined from the top.
 * @param {Line[]} lines
 * @param {Roles} roles
 */
export function namesOf(lines, roles) {
  const joined = (/** @type {string} */ role) =>
    lines
      .filter((_, at) => roles[at] === role)
      .sort((a, b) => a.box.y - b.box.y)
      .map(({ text }) => text.trim())
      .join(' ');
  return { name: joined('name'), producer: joined('producer') };
}

/**
 * @param {{ lines: Line[], roles: Roles, picture: import('./photo_piece.js').Picture, bottle: Record<string, any>,
 *   onChange: (roles: Roles) => void }} props
 */
export function NamePicker({ lines, roles, picture, bottle, onChange }) {
  const [count, setCount] = useState(FIRST_COUNT);
  const names = namesOf(lines, roles);
  const choose = (/** @type {number} */ at, /** @type {string} */ role) => {
    const { [at]: before, ...others } = roles;
    onChange(before === role ? others : { ...others, [at]: role });
  };
  return html`<h3>${t('label_photo.names')}</h3>
    <p class="soft small">${t('label_photo.names_how')}</p>
    <ul class="read-lines">${lines.slice(0, count).map(
      (line, at) => html`<li key=${at}>
      <span class="read-line">
        <${PhotoPiece} picture=${picture} box=${line.box} text=${line.text} />
        <span class="name">${line.text}</span>
      </span>
      <span class="read-roles" role="group" aria-label=${line.text}>${ROLES.map(
        (role) => html`<button type="button" class="choice" key=${role} aria-pressed=${roles[at] === role}
          onClick=${() => choose(at, role)}>${t(`field.${role}`)}</button>`,
      )}</span>
    </li>`,
    )}</ul>
    ${
      lines.length > count &&
      html`<button type="button" class="button plain" onClick=${() => setCount(lines.length)}>
      ${t('label_photo.more_lines', { count: lines.length - count })}</button>`
    }
    ${ROLES.map(
      (role) =>
        names[role] &&
        html`<p class="read-name" key=${role}><span class="label">${t(`field.${role}`)}</span>
          <span class="name">${names[role]}</span>
          ${
            bottle[role] &&
            bottle[role] !== names[role] &&
            html`<span class="read-before small">${t('label_photo.you_have', { value: bottle[role] })}</span>`
          }</p>`,
    )}`;
}
