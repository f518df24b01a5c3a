// Palate screen: what was learned about the user's taste, the most important first.
import { html, useMemo } from '../../lib/ui.js';
import { palate } from '../../store/palate_cache.js';
import { list } from '../../lib/format.js';
import { useProgressiveCount } from '../../components/layout/progressive.js';
import { t } from '../../i18n.js';
import { Page } from '../shell/page.js';
import { Alcohol } from './alcohol.js';
import { Changes } from './changes.js';
import { EvidenceSheet } from './evidence.js';
import { StartSuggestions, Suggestions } from './suggestions.js';
import { knownAndUnknown } from '../../domain/palate/text.js';
import { Calibration, RepeatabilitySection } from './repeatability.js';
import { Styles } from './styles.js';
import { Targets } from './ideal_points.js';

/** @typedef {import('../../domain/palate/document.js').PalateDocument} PalateDocument */

/** Number of axes that fit on a phone's first screen. */
const ON_A_SCREEN = 2;

export function Screen() {
  const learned = /** @type {PalateDocument | null} */ (palate.value);
  return html`<${Page} title=${t('palate.title')}>
    ${
      !learned || learned.n_rated === 0
        ? html`<${Unrated} learned=${learned} />`
        : html`<${Learned}
        learned=${learned} />`
    }
    <${EvidenceSheet} />
  <//>`;
}

/** @param {{ learned: PalateDocument | null }} props */
function Unrated({ learned }) {
  return html`<div class="empty"><p class="voice">${t('palate.lead_none')}</p>
      ${!learned && html`<p class="soft">${t('palate.not_yet')}</p>`}</div>
    ${learned && html`<${StartSuggestions} entries=${learned.next.teaches} />`}
    <div class="at-thumb"><a class="button primary" href="#/pour">${t('palate.pour')}</a></div>`;
}

/** @param {{ learned: PalateDocument }} props */
function Learned({ learned }) {
  const { targets } = learned;
  const lead = useMemo(() => html`<${Lead} learned=${learned} />`, [learned]);
  const below = useMemo(() => partsBelow(learned), [learned]);
  const drawn = useProgressiveCount(targets.length + below.length, ON_A_SCREEN);
  return html`${lead}
    <${Targets} targets=${targets} drawn=${drawn} />
    ${below.slice(0, Math.max(0, drawn - targets.length))}`;
}

/** @param {PalateDocument} learned */
function partsBelow({ alcohol, styles, next, changes, repeatability, calibration }) {
  return [
    alcohol && html`<${Alcohol} alcohol=${alcohol} />`,
    html`<${Styles} styles=${styles} />`,
    html`<${Suggestions} next=${next} styles=${styles} />`,
    html`<${Changes} changes=${changes} />`,
    html`<${RepeatabilitySection} repeatability=${repeatability} />`,
    html`<${Calibration} calibration=${calibration} />`,
  ];
}

/** @param {{ learned: PalateDocument }} props */
function Lead({ learned: { n_rated, levels, targets } }) {
  const key = levels.includes('under_five') ? 'first' : levels.includes('under_ten') ? 'young' : 'grown';
  const { known, open } = knownAndUnknown(targets);
  return html`<p class="palate-lead voice">${[
    t(`palate.lead_${key}`, { count: n_rated }),
    ...(known.length ? [t('palate.lead_sure', { names: list(known) })] : []),
    ...(open.length && key !== 'first' ? [t('palate.lead_unknown', { names: list(open) })] : []),
  ].join(' ')}</p>`;
}
