// The words for colour, sweetness and kind that labels print next to a wine's name.

// What labels write of colour and sweetness, in plain form.
export const TAGS = /** @type {Record<string, string>} */ (
  Object.fromEntries(
    Object.entries({
      red: 'rouge rosso tinto red rot rotwein',
      white: 'blanc bianco blanco weiss weisswein white branco',
      rose: 'rose rosato rosado rosat rosada rosewein clarete weissherbst rotling schillerwein',
      sweet: 'moelleux liquoreux doux dolce dulce doce edes sweet passito sgn grains edelsuss botrytis late',
      demisec: 'demi amabile abboccato semiseco halbtrocken feinherb',
      sparkling: `brut bruto spumante sparkling mousseux sekt perlwein petillant espumante espumoso frizzante cremant
        bulles
        bollicine`,
      crianza: 'crianza',
      joven: 'joven',
      reserva: 'reserva',
      kabinett: 'kabinett',
      spatlese: 'spatlese',
      auslese: 'auslese',
      dry: 'trocken dry sec secco seco gg',
      fortified: 'fortified',
      orange: 'orange qvevri macerated',
      unoaked: 'unoaked unwooded',
    }).flatMap(([tag, words]) => words.split(/\s+/).map((word) => [word, tag])),
  )
);

/**
 * "French": late harvest and noble berries as French law has them, of Alsace and the South-West (from memory).
 * @param {string[]} words outside of the names found
 */
export function tagsOf(words) {
  return new Set(
    words.flatMap((word, at) => {
      if (word === 'late' && !/^harvest/.test(words[at + 1] ?? '')) return [];
      if (/^bruto?$/.test(word)) return ['sparkling', 'brut'];
      if (/^(?:sgn|grains)$/.test(word)) return ['sweet', 'french'];
      if (/^vendanges?$/.test(word)) return /^tardive/.test(words[at + 1] ?? '') ? ['sweet', 'french'] : [];
      return TAGS[word] ?? [];
    }),
  );
}
