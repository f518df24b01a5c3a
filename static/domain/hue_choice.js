// The colour of a wine and its hue as choices.
import hues from '../spec/hues.json' with { type: 'json' };
import { swatches } from '../rules/tasting/swatches.js';
import { html } from '../lib/ui.js';
import { t } from '../i18n.js';
import { Choice } from '../components/form/choice.js';
import { lookedAtColour } from './look_colour.js';

const COLOURS = ['red', 'white', 'rose', 'amber'];

/**
 * @param {{ fields: Record<string, any>, ofLabel?: string | null, onChange: (fields: { look_colour: string | null,
 *   look_hue?: null }) => void }} props ofLabel: the colour that the label says, shown until the taster says one
 */
export function ColourChoice({ fields, ofLabel = null, onChange }) {
  const hue = fields['look_hue'];
  const lookedAt = lookedAtColour(fields);
  const colour = lookedAt ?? ofLabel;
  // Another tap on what only the label says so far confirms it; a hue says its colour for as long as it stands.
  const choose = (/** @type {string | null} */ value) => {
    if (value === null) onChange({ look_colour: hue || !lookedAt ? colour : null });
    else onChange({ look_colour: value, ...(hue && value !== colour ? { look_hue: null } : {}) });
  };
  return html`<${Choice} label=${t('pour.hue_family')} hideLabel=${true} value=${colour} onChange=${choose}
    options=${COLOURS.map((id) => ({ id, label: t(`colour.${id}`) }))} />`;
}

/**
 * @param {{ colour: string | null, value: string | null | undefined, onChange: (hue: string | null) => void }} props
 *   nothing without a colour
 */
export function HueChoice({ colour, value, onChange }) {
  const options = hues.hues
    .filter((candidate) => candidate.colour === colour)
    .map(({ id }) => ({ id, label: t(`hue.${id}`), swatch: swatches[id]?.srgb }));
  return (
    colour &&
    html`<${Choice} label=${t('field.look_hue')} options=${options} value=${value} note=${t('pour.hue_note')}
      onChange=${onChange} />`
  );
}
