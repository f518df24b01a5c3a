// The words for colour, sweetness and kind that labels print next to a wine's name.

// What labels write of colour and sweetness, in plain form.
export const TAGS = /** @type {Record<string, string>} */ (
  Object.fromEntries(
    Object.entries({
      red: 'rouge rosso tinto red rot rotwein',
      white: 'blanc bianco blanco weiss weisswein white branco',
      rose: 'rose rosato rosado rosewein clarete weissherbst',
      sweet: 'moelleux liquoreux doux dolce dulce doce edes sweet passito sgn grains edelsuss botrytis late',
      demisec: 'demi amabile abboccato semiseco halbtrocken feinherb',
      sparkling: `brut spumante sparkling mousseux sekt perlwein petillant espumante espumoso frizzante cremant bulles
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

/** @param {string[]} words outside of the names found */
export function tagsOf(words) {
  return new Set(
    words.flatMap((word, at) => {
      if (word === 'late' && !/^harvest/.test(words[at + 1] ?? '')) return [];
      if (word === 'vendange' || word === 'vendanges') return /^tardive/.test(words[at + 1] ?? '') ? ['sweet'] : [];
      return TAGS[word] ?? [];
    }),
  );
}
