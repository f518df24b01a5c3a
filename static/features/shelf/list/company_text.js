// Texts for a bottle in company: who will probably like it, who not, and why.
import { t } from '../../../i18n.js';
import { list } from '../../../lib/format.js';
import { reasonText } from '../../../domain/palate/text.js';
import { ME, nameOf } from './company_state.js';

/** @typedef {import('../../../rules/palate/company.js').CompanyScore} CompanyScore */
/** @typedef {import('../../../rules/palate/company.js').Doubtful} Doubtful */
/** @typedef {import('../../../rules/palate/score.js').Reason} Reason */

const ALL_LIKELY = 0.5;
const NAMED = 2;

/**
 * @param {CompanyScore} found
 * @param {number} size people in the company
 * @returns {{ verdict: string, because: string }} sentences; `because` may be empty
 */
export function companyText({ all_like, doubtful }, size) {
  if (doubtful.length === 0) {
    return { verdict: t(all_like >= ALL_LIKELY ? 'shelf.company_all' : 'shelf.company_maybe'), because: '' };
  }
  const names = list(doubtful.map(({ id }) => (id === ME ? t('shelf.company_to_me') : nameOf(id))));
  const isForNobody = doubtful.length === size && size > 1;
  return {
    verdict: isForNobody ? t('shelf.company_none') : t('shelf.company_doubt', { names }),
    because: doubtful.slice(0, NAMED).map(because).filter(Boolean).join(' '),
  };
}

/** @param {Doubtful} one */
function because({ id, because: reason }) {
  const text = reason && companyReason(reason);
  return text ? t('shelf.company_because', { name: nameOf(id), reason: text }) : '';
}

/**
 * @param {Reason} reason of anybody
 * @returns {string} empty if there is no message for it
 */
function companyReason(reason) {
  if (reason.what === 'style') return t('shelf.company_reason_style');
  return reasonText(reason);
}

/** @param {Reason[]} reasons @returns {string} for and against, in short */
export function reasonsInShort(reasons) {
  const side = (/** @type {Reason['direction']} */ direction) =>
    reasons
      .filter((reason) => reason.direction === direction)
      .map(companyReason)
      .filter(Boolean);
  const [pro, contra] = [side('raises'), side('lowers')];
  return [
    ...(pro.length ? [t('palate.for', { reasons: list(pro) })] : []),
    ...(contra.length ? [t('palate.against', { reasons: list(contra) })] : []),
  ].join(' ');
}
