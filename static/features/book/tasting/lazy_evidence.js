// Conclusions from a tasting, loaded when a tasting is opened, so that the list does not wait for
// their code.
import { html, useEffect, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';

/** @typedef {typeof import('../../../domain/evidence/evidence.js')} Reading */

/** @param {{ id: string, tasting: Record<string, any>, bottle: Record<string, any> }} props */
export function LazyEvidence({ id, tasting, bottle }) {
  const [reading, setReading] = useState(/** @type {Reading | null} */ (null));
  useEffect(() => {
    let left = false;
    import('../../../domain/evidence/evidence.js').then((fetched) => {
      if (!left) setReading(fetched);
    });
    return () => {
      left = true;
    };
  }, []);
  if (!reading?.hasEvidence(tasting)) return null;
  return html`<section class="diary-step"><h2>${t('pour.evidence')}</h2>
    <${reading.Evidence} id=${id} tasting=${tasting} bottle=${bottle} covered=${Boolean(bottle['covered'])} />
  </section>`;
}
