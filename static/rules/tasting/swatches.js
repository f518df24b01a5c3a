// The colour of each hue word, by its id: apart from the words, which every write is checked against.
import file from '../../spec/swatches.json' with { type: 'json' };

export const swatches = /** @type {Record<string, { srgb: string, lab: number[] }>} */ (file.swatches);
