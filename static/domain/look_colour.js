// The colour that was looked at: that of the hue, or the colour said without one.
import hues from '../spec/hues.json' with { type: 'json' };

/** @param {Record<string, any>} tasting @returns {string | null} */
export function lookedAtColour({ look_hue, look_colour }) {
  return hues.hues.find((hue) => hue.id === look_hue)?.colour ?? look_colour ?? null;
}
