// The first sentences of the Palate screen: how much is known.
import { list } from '../../lib/format.js';
import { t } from '../../i18n.js';
import { ratedWines } from './rated_wines.js';
import { knownAndUnknown } from './text.js';

/** @param {import('./document.js').PalateDocument} learned */
export function leadText(learned) {
  const { n_rated, levels, targets, example } = learned;
  const key = levels.includes('under_five') ? 'first' : levels.includes('under_ten') ? 'young' : 'grown';
  const { known, open } = knownAndUnknown(targets);
  return [
    example ? t('palate.lead_example', { count: n_rated }) : t(`palate.lead_${key}`, { count: ratedWines(learned) }),
    ...(known.length ? [t('palate.lead_sure', { names: list(known) })] : []),
    ...(open.length && key !== 'first' ? [t('palate.lead_unknown', { names: list(open) })] : []),
  ].join(' ');
}
