/** Fields of a tasting with aromas, in order of tasting. */
export const AROMA_FIELDS = /** @type {const} */ ([
  'first_nose_words',
  'second_nose_words',
  'sip_words',
  'sip_2_words',
  'sip_3_words',
]);

/** Of these, the ones that ask for the words of a sip. */
export const SIP_FIELDS = AROMA_FIELDS.slice(2);
