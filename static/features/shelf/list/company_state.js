// For whom the shelf is sorted: its owner, or any of the people who agreed to a palate.
import { computed, signal } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { isYoungPalate, ratedWines } from '../../../domain/palate/rated_wines.js';
import { agreedPeople } from '../../../domain/table/people.js';
import { liveSignal } from '../../../store/queries.js';
import { palate, personPalates } from '../../../store/palate_cache.js';
import { shownPalate } from '../../shell/shown_palate.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {{ id: string, name: string }} Person */
/** @typedef {Parameters<typeof import('../../../domain/palate/text.js').knownReasons>[1]} Known */
/** @typedef {{ id: string, compact: any, known?: Known }} CompanyPalate known: what the person's palate says */

/** Id of the owner among the chosen. */
export const ME = 'me';

async function readPeople() {
  return (await agreedPeople()).map(({ id, fields }) => ({ id, name: String(fields['name']) }));
}

/** @type {import('../../../lib/ui.js').ReadonlySignal<Person[]>} */
export const people = liveSignal(readPeople, []);

/** Kept while the app is open. */
const chosen = signal([ME]);
export const companyOrder = signal('company_mean');

/** @param {string[] | null} ids none means the owner alone */
export function chooseCompany(ids) {
  chosen.value = ids?.length ? ids : [ME];
}

/** The chosen ids, without people who were deleted meanwhile. */
export const company = computed(() => {
  const found = chosen.value.filter((id) => id === ME || people.value.some((person) => person.id === id));
  return found.length ? found : [ME];
});

/** Whether anybody but the owner alone is chosen. */
export const isCompany = computed(() => company.value.length > 1 || company.value[0] !== ME);

/** The owner's document, or that of the example's taster, of whom the screen tells; null while it is learned anew. */
const mine = computed(() => (shownPalate.value === 'learning' ? null : palate.value));

/** The documents of the chosen, as far as they are on this phone. */
const documents = computed(() =>
  company.value.map((id) => ({ id, document: id === ME ? mine.value : (personPalates.value.get(id) ?? null) })),
);

export const companyPalates = computed(() =>
  isCompany.value
    ? documents.value.flatMap(({ id, document }) =>
        document ? [{ id, compact: document.compact, known: knownOf(document) }] : [],
      )
    : [],
);

/** @param {any} document @returns {Known} */
function knownOf(document) {
  return { targets: document.targets, isYoung: isYoungPalate(document), alcohol: document.alcohol };
}

/** Names of the chosen whose palate is not on this phone. */
export const uncounted = computed(() =>
  documents.value.filter(({ document }) => !document).map(({ id }) => nameOf(id)),
);

/** The chosen who rated few wines, and how many. */
export const newcomers = computed(() =>
  documents.value.flatMap(({ id, document }) =>
    document && isYoungPalate(document) ? [{ id, name: nameOf(id), count: ratedWines(document) }] : [],
  ),
);

/** @param {string} id */
export function nameOf(id) {
  return id === ME ? t('shelf.company_me') : (people.value.find((person) => person.id === id)?.name ?? '');
}
