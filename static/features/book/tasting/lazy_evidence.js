// Conclusions from a tasting, loaded when a tasting is opened, so that the list does not wait for
// their code.
import { html, useEffect, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { Fold } from '../../../components/layout/fold.js';

/** @typedef {typeof import('../../../domain/evidence/evidence.js')} EvidenceModule */

/** @param {{ id: string, tasting: Record<string, any>, bottle: Record<string, any> }} props */
export function LazyEvidence({ id, tasting, bottle }) {
  const [module, setModule] = useState(/** @type {EvidenceModule | null} */ (null));
  useEffect(() => {
    let left = false;
    import('../../../domain/evidence/evidence.js').then((fetched) => {
      if (!left) setModule(fetched);
    });
    return () => {
      left = true;
    };
  }, []);
  if (!module?.hasEvidence(tasting)) return null;
  return html`<${Fold} id="tasting-evidence" onPaper title=${t('pour.evidence')}>
    <${module.Evidence} id=${id} tasting=${tasting} bottle=${bottle} covered=${Boolean(bottle['covered'])} />
  <//>`;
}
