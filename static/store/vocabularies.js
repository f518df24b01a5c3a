/** Closed lists of static/spec/vocabularies.json by name. */
import file from '../spec/vocabularies.json' with { type: 'json' };

/** @type {Record<string, string[]>} */
export const vocabularies = file.vocabularies;
