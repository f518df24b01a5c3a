// Colour of each hue by id, in a file of its own: every save loads the list of hues for validation,
// but not the colours.
import file from '../../spec/swatches.json' with { type: 'json' };

export const swatches = /** @type {Record<string, { srgb: string, lab: number[] }>} */ (file.swatches);
