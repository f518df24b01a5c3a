// Fields that are never shared, each with its reason; tests/node/share.test.mjs asks for all others.

const BOOKKEEPING = 'says how the app keeps the record, nothing of the wine';
const EXAMPLE = 'marks sample notes';

/** @type {Record<'bottle' | 'tasting' | 'visit', Record<string, string>>} */
export const LEFT_OUT = {
  bottle: {
    label_market: 'says which label law applies, not what the wine is',
    gtin: 'is for a scanner',
    covered: 'hides the label',
    merged_into: BOOKKEEPING,
    apart_from: BOOKKEEPING,
    example: EXAMPLE,
  },
  tasting: {
    bottle: 'is shared by its own fields',
    visit: 'is shared from its own page',
    place: 'is personal: where the taster was',
    with_whom: 'is personal: other people, whom nobody asked',
    label_hidden: 'hides the label',
    guesses_locked_at: BOOKKEEPING,
    uncovered_at: BOOKKEEPING,
    closed_at: BOOKKEEPING,
    example: EXAMPLE,
  },
  visit: {
    place: 'is personal: where the taster was',
    ended_at: BOOKKEEPING,
    example: EXAMPLE,
  },
};
