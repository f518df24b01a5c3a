// Reads the country of a wine, and the market of its label, from the statements that the law asks for.
import rules from '../../spec/label_rules.json' with { type: 'json' };
import { plainText } from '../../lib/plain_text.js';

/** Names of countries as labels print them after "Product of", in plain form. */
const COUNTRIES = /** @type {[string, string][]} */ (
  Object.entries({
    FR: 'france|frankreich|francia',
    IT: 'italy|italia|italie|italien',
    DE: 'germany|deutschland|allemagne|germania',
    ES: 'spain|espana|espagne|spagna|spanien',
    PT: 'portugal|portogallo',
    AT: 'austria|osterreich|autriche',
    GR: 'greece|hellas|grece|grecia|griechenland',
    HU: 'hungary|magyarorszag|hongrie|ungheria|ungarn',
    CH: 'switzerland|suisse|svizzera|schweiz',
    GB: 'england|wales|united kingdom|great britain|uk|royaume-uni|regno unito',
    US: 'usa|u.s.a|united states|california|oregon|washington|etats-unis|stati uniti',
    AU: 'australia|australie',
    NZ: 'new zealand|nouvelle-zelande|nuova zelanda|neuseeland',
    ZA: 'south africa|afrique du sud|sudafrica|sudafrika',
    AR: 'argentina|argentine|argentinien',
    CL: 'chile|chili|cile',
    CA: 'canada|kanada',
    GE: 'georgia|georgie|georgien',
    SI: 'slovenia|slovenie|slowenien',
    HR: 'croatia|hrvatska|croatie|croazia|kroatien',
    RO: 'romania|roumanie|rumanien',
    LB: 'lebanon|liban|libano|libanon',
  }).flatMap(([code, names]) => names.split('|').map((name) => [name, code]))
);
const THING =
  'product|produce|produced|wine|made|produit|vin|elabore|prodotto|vino|erzeugnis|produkt|wein|producto|produto';
const STATEMENT = new RegExp(
  `\\b(?:${THING})\\s+(?:of|in|de|du|da|do|d'|en|aus|dell[ao]|d)?\\s*(?:the\\s+|la\\s+|l')?([\\p{L}.' -]{2,})`,
  'u',
);

/**
 * @param {string} line
 * @returns {{ value: string, clear: boolean, text: string } | null} the code of the country
 */
export function countryIn(line) {
  const plain = plainText(line);
  const match = STATEMENT.exec(plain);
  if (!match) return null;
  const rest = String(match[1])
    .replace(/[^\p{L}.' -]/gu, '')
    .trim();
  const found = COUNTRIES.find(([name]) => rest === name || rest.startsWith(`${name} `) || rest.startsWith(`${name}.`));
  return found ? { value: found[1], clear: true, text: line } : null;
}

/**
 * Return the market for which a label is printed, if its words show it.
 * @param {string[]} lines
 * @param {string | null} country
 * @returns {{ value: string, clear: boolean, text: string } | null}
 */
export function marketOf(lines, country) {
  const warning = lines.find((line) => /government warning|contains sulfites/.test(plainText(line)));
  if (warning) return { value: 'US', clear: true, text: warning };
  const byVolume = lines.find((line) => /%\s*(?:alc\.?\s*)?by\s*vol|alc\.?\s*\/\s*vol/i.test(line));
  if (byVolume) return { value: 'US', clear: false, text: byVolume };
  if (country && rules.eu_members.includes(country)) return { value: 'EU', clear: false, text: '' };
  return null;
}
