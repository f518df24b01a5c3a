// The colour of a wine as noted: that of its hue, or the colour noted without a hue.
import hues from '../spec/hues.json' with { type: 'json' };

/** @param {Record<string, any>} tasting @returns {string | null} */
export function lookedAtColour({ look_hue, look_colour }) {
  return hues.hues.find((hue) => hue.id === look_hue)?.colour ?? look_colour ?? null;
}
