// Spells a noted grape as the app does, so that notes of one grape are found and counted together.
import { plainGrape } from '../rules/tasting/grapes.js';
import { grapesOf, stylesById } from './style_names.js';

/** @type {Map<string, string> | null} */
let known = null;

/** @param {string} grape as somebody wrote it @returns {string} the same if no style has it */
export function speltGrape(grape) {
  known ??= new Map([...stylesById.values()].flatMap(grapesOf).map((name) => [plainGrape(name), name]));
  return known.get(plainGrape(grape)) ?? grape;
}
