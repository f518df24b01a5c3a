// A row of a list: a name, a small line under it, and content before and after them.
import { html } from '../../lib/ui.js';

/**
 * Render a link if there is an address, else a button; other attributes are passed on.
 * @param {{ name: unknown, line?: unknown, href?: string, className?: string, before?: unknown, children?: unknown,
 *   onClick?: () => void }} props children: what stands after the name
 */
export function Row({ name, line, href, className, before, children, ...attributes }) {
  const inside = html`${before}<${RowText} name=${name} line=${line} />${children}`;
  const classes = className ? `row ${className}` : 'row';
  return href
    ? html`<a class=${classes} href=${href} ...${attributes}>${inside}</a>`
    : html`<button type="button" class=${classes} ...${attributes}>${inside}</button>`;
}

/** Show a row that leads to another page, and says so. @param {Omit<Parameters<typeof Row>[0], 'children'>} props */
export function ArrowRow(props) {
  return html`<${Row} ...${props}><span aria-hidden="true">${'\u2192'}</span><//>`;
}

/** Show the words of a row. @param {{ name: unknown, line?: unknown }} props */
export function RowText({ name, line }) {
  return html`<span class="grow"><${NameAndLine} name=${name} line=${line} /></span>`;
}

/** @param {{ name: unknown, line?: unknown }} props no small line where it is undefined, null or false */
export function NameAndLine({ name, line }) {
  const hasLine = line !== undefined && line !== null && line !== false;
  return html`<span class="name">${name}</span>${hasLine && html`<span class="soft small">${line}</span>`}`;
}
