/** Fields of a tasting with aromas, in order of tasting. */
export const AROMA_FIELDS = /** @type {const} */ ([
  'first_nose_words',
  'second_nose_words',
  'sip_words',
  'sip_2_words',
  'sip_3_words',
]);
