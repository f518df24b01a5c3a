// What the name of the wine tells of its style: filled in if certain, else offered. Loaded when there is a name.
import { html } from '../../../lib/ui.js';
import { values } from '../../../domain/pour/current_pour.js';
import { CertainStyle } from '../../../domain/bottle/certain_style.js';
import { StyleSuggestions } from '../../../domain/bottle/style_suggestions.js';

/** @param {{ opened: string | null | undefined, onChoose: (id: string | null) => void }} props opened: name at first */
export function NamedStyle({ opened, onChoose }) {
  const bottle = values.bottle.value;
  // For a name that is typed, and not for a note that is only opened.
  return html`<${StyleSuggestions} bottle=${bottle} onChoose=${onChoose} />
    ${bottle['name'] !== opened && html`<${CertainStyle} bottle=${bottle} onFill=${onChoose} />`}`;
}
