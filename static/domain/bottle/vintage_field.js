// Vintage as typed text, or one tap for a wine without vintage.
import { html, useLayoutEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { TextField } from '../../components/form/field.js';
import { fullYear, readVintage, vintageProblem } from '../../rules/label/vintage.js';
import { vintageText } from '../vintage_text.js';

/** @typedef {import('../../rules/label/vintage.js').Vintage} Vintage */

/**
 * @param {{ bottle: Record<string, any>, plain?: boolean, onChange: (fields: Partial<Vintage>) => void }} props
 *   plain: without the button
 */
export function VintageField({ bottle, plain = false, onChange }) {
  const shown = vintageText(bottle) ?? '';
  const [text, setText] = useState(shown);
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  const arrived = useRef(false);
  // Layout effects, so that no key is pressed between them and the change.
  useLayoutEffect(() => {
    const typed = readVintage(text);
    if (typed && (vintageText(typed) ?? '') === shown) return;
    arrived.current = text === '';
    setText(shown);
  }, [shown]);
  useLayoutEffect(() => {
    const input = box.current?.querySelector('input');
    // What is typed now replaces a year that came from elsewhere, rather than being added to it.
    if (arrived.current && input === document.activeElement) input?.select();
    arrived.current = false;
  }, [text]);
  const type = (/** @type {string | null} */ value) => {
    setText(value ?? '');
    const read = readVintage(value ?? '');
    if (read) change(read);
  };
  const change = (/** @type {Vintage} */ next) => {
    const changed = Object.entries(next).filter(([field, value]) => value !== (bottle[field] ?? null));
    if (changed.length) onChange(Object.fromEntries(changed));
  };
  const problem = vintageProblem(text, new Date());
  const isNone = Boolean(bottle['non_vintage']) && !bottle['vintage'];
  return html`<div class="vintage-field" ref=${box} onFocusOut=${() => type(fullYear(text, new Date()))}>
    <${TextField} label=${t('field.vintage')} value=${text} maxLength=${12} inputmode="numeric"
      error=${problem && t(`vintage.${problem}`, { year: text })} onChange=${type} />
    ${
      !plain &&
      html`<button type="button" class="choice" aria-pressed=${isNone}
      onClick=${() => change({ vintage: null, non_vintage: isNone ? null : true })}>${t('vintage.none_said')}</button>`
    }
  </div>`;
}
