// Palate screen: what to try next, then what the user likes, then what this rests on.
import { html, useMemo, useState } from '../../lib/ui.js';
import { palate } from '../../store/palate_cache.js';
import { syncStatus } from '../../sync/status.js';
import { shownPalate } from '../shell/shown_palate.js';
import { useProgressiveCount } from '../../components/layout/progressive.js';
import { t } from '../../i18n.js';
import { Page } from '../shell/page.js';
import { ExpandableList } from '../../components/layout/expandable_list.js';
import { Fold } from '../../components/layout/fold.js';
import { AlcoholChart, AlcoholLine } from './alcohol.js';
import { Changes } from './changes.js';
import { EvidenceSheet } from './evidence.js';
import { StartSuggestions, Suggestions } from './suggestions.js';
import { leadText } from '../../domain/palate/lead_text.js';
import { Calibration, RepeatabilityPart } from './repeatability.js';
import { Styles } from './styles.js';
import { ExamplePalateLink, Whose } from './whose.js';
import { knownTargets, TargetCharts, TargetLine } from './ideal_points.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/** @typedef {import('../../domain/palate/document.js').PalateDocument} PalateDocument */

/** Number of parts that fit on a phone's first screen. */
const ON_A_SCREEN = 2;
const LINES_AT_FIRST = 5;
/** Lines above the one of the alcohol, so that it is among the first. */
const BEFORE_ALCOHOL = 3;

export function Screen() {
  const [example, setExample] = useState(/** @type {PalateDocument | null} */ (null));
  const learned = example ?? /** @type {PalateDocument | null} */ (palate.value);
  const shown = example ? 'example' : shownPalate.value;
  const link = !example && shown !== 'example' && html`<${ExamplePalateLink} onFound=${setExample} />`;
  return html`<${Page} title=${t('palate.title')}>
    <${Whose} shown=${shown} onBack=${example && (() => setExample(null))} />
    ${
      shown !== 'learning' &&
      (learned?.n_rated
        ? html`<${Learned} learned=${learned}>${link}<//>`
        : html`<${Unrated} learned=${learned}>${link}<//>`)
    }
    <${EvidenceSheet} />
  <//>`;
}

/** @param {{ learned: PalateDocument | null, children?: unknown }} props */
function Unrated({ learned, children }) {
  return html`<div class=${learned ? 'empty goes-on' : 'empty'}><p class="voice">${t('palate.lead_none')}</p>
      ${!learned && html`<p class="soft">${t('palate.not_yet')}</p>`}</div>
    ${learned && html`<${StartSuggestions} entries=${learned.next.teaches} />`}
    ${children}
    <${AtThumb}><a class="button primary" href="#/pour">${t('palate.pour')}</a><//>`;
}

/**
 * Draw what was learned, and the children once all parts are drawn, because the parts would push them down.
 * @param {{ learned: PalateDocument, children?: unknown }} props
 */
function Learned({ learned, children }) {
  const parts = useMemo(() => partsOf(learned), [learned]);
  const drawn = useProgressiveCount(parts.length, ON_A_SCREEN);
  return [...parts.slice(0, drawn), drawn === parts.length && children];
}

/** @param {PalateDocument} learned */
function partsOf(learned) {
  return [
    html`<p class="palate-lead voice">${leadText(learned)}</p><${Unsent} />`,
    html`<${Suggestions} next=${learned.next} styles=${learned.styles} targets=${learned.targets}
      isYoung=${learned.levels.includes('under_five')} alcohol=${learned.alcohol} />`,
    html`<${Likes} learned=${learned} />`,
    html`<${Styles} styles=${learned.styles} />`,
    html`<${Reasons} learned=${learned} />`,
  ];
}

/** Show what is liked in a wine, a line for each. @param {{ learned: PalateDocument }} props */
function Likes({ learned: { targets, alcohol } }) {
  const lines = useMemo(() => {
    const known = knownTargets(targets).map(
      (target) => html`<${TargetLine} key=${target.attribute} target=${target} />`,
    );
    return alcohol ? known.toSpliced(BEFORE_ALCOHOL, 0, html`<${AlcoholLine} alcohol=${alcohol} />`) : known;
  }, [targets, alcohol]);
  return html`<section class="palate-part" aria-labelledby="palate-targets">
    <h2 id="palate-targets">${t('palate.targets')}</h2>
    <${ExpandableList} items=${lines} initialCount=${LINES_AT_FIRST} row=${(/** @type {unknown} */ line) => line}
      more=${t('palate.show_all', { count: lines.length })} lessText=${t('palate.show_fewer')} />
  </section>`;
}

/** Show what the above rests on, folded. @param {{ learned: PalateDocument }} props */
function Reasons({ learned: { targets, alcohol, changes, repeatability, calibration } }) {
  return html`<section class="palate-part" aria-labelledby="palate-why">
    <h2 id="palate-why">${t('palate.why')}</h2>
    <${Fold} level="h3" title=${t('palate.why_wines')}>
      <${TargetCharts} targets=${targets} />
      ${alcohol && html`<${AlcoholChart} alcohol=${alcohol} />`}
    <//>
    <${Fold} level="h3" title=${t('palate.changes')}><${Changes} changes=${changes} /><//>
    <${Fold} level="h3" title=${t('palate.steady')}><${RepeatabilityPart} repeatability=${repeatability} /><//>
    <${Fold} level="h3" title=${t('palate.calibration')}><${Calibration} calibration=${calibration} /><//>
  </section>`;
}

/** Say that the server learns from the latest notes later, because the count above leaves them out. */
function Unsent() {
  const { phase, notes } = syncStatus.value;
  return phase === 'waiting' && notes > 0 && html`<p class="soft small" role="status">${t('palate.unsent')}</p>`;
}
