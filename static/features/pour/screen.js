// Pour screen: the quick note, and the pages of its steps.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { openPour } from '../../store/open_pour.js';
import { finishTimer } from '../../store/finish_timer.js';
import { Page } from '../shell/page.js';
import { useLazy } from '../shell/lazy.js';
import { pageFor, pourPages } from './routes.js';
import { currentPour, currentStep } from '../../domain/pour/current_pour.js';
import { startInVisit, startWithBottle } from './finish_pour.js';
import { QuickNote } from './quick_note.js';
import { parseStep } from '../../domain/pour/tasting_steps.js';
import { goToStep, loadPour } from '../../domain/pour/load_pour.js';

/** @param {{ path: string[], query: URLSearchParams }} props */
export function Screen({ path, query }) {
  const door = pageFor(path[0]);
  return door
    ? html`<${PourPage} door=${door} path=${path} query=${query} />`
    : html`<${CurrentPourScreen} path=${path} query=${query} />`;
}

/** @param {{ door: import('../shell/lazy.js').Loader, path: string[], query: URLSearchParams }} props */
function PourPage({ door, path, query }) {
  const Screen = useLazy(door);
  return Screen ? html`<${Screen} key=${path.join('/')} path=${path} query=${query} />` : null;
}

/** @param {{ path: string[], query: URLSearchParams }} props */
function CurrentPourScreen({ path, query }) {
  const [wanted, slug] = path;
  const asked = wanted ? '' : `${query.get('bottle') ?? ''}/${query.get('visit') ?? ''}`;
  const [missing, setMissing] = useState(false);
  useEffect(() => {
    let left = false;
    resolveRoute(wanted, slug, asked).then((found) => {
      if (!left) setMissing(!found);
    });
    return () => {
      left = true;
    };
  }, [wanted, slug, asked]);
  const hand = currentPour.value;
  const step = wanted ? parseStep(slug) : currentStep.value;
  const Behind = useLazy(step === 'note' ? null : pourPages[step === 'evidence' ? 'evidence' : 'step']);
  // The previous page stays until the next one is loaded.
  const stood = useRef(/** @type {unknown} */ (null));
  if (missing) return html`<${NotFound} />`;
  if (!hand || (wanted && wanted !== hand.tasting)) return html`<${Page} title=${t('app.room_pour')} />`;
  if (step === 'note') stood.current = html`<${QuickNote} key=${hand.tasting} />`;
  else if (Behind) stood.current = html`<${Behind} key=${`${hand.tasting}/${step}`} step=${step} />`;
  return stood.current;
}

/**
 * @param {string | undefined} wanted
 * @param {string | undefined} slug
 * @param {string} asked bottle and visit of the next pour, as `bottle/visit`
 * @returns {Promise<boolean>} whether the pour exists
 */
async function resolveRoute(wanted, slug, asked) {
  await finishTimer.restore();
  const [bottleId, visitId] = asked.split('/');
  if (bottleId || visitId) {
    if (bottleId) await startWithBottle(bottleId);
    else await startInVisit(String(visitId));
    navigate('/pour', { replace: true });
    return true;
  }
  const hand = currentPour.peek();
  if (!hand || (wanted && hand.tasting !== wanted) || (!wanted && isPourPage(hand.tasting))) {
    if (!(await loadPour(wanted))) return false;
  }
  const open = openPour.peek();
  if (!wanted && open && open.step !== 'note' && open.tasting === currentPour.peek()?.tasting) {
    navigate(`/pour/${open.tasting}/${open.step}`, { replace: true });
    return true;
  }
  goToStep(wanted ? parseStep(slug) : 'note');
  return true;
}

/**
 * Tell whether the pour was opened by its own route, apart from the unfinished pour.
 * @param {string} id
 */
function isPourPage(id) {
  const open = openPour.peek();
  return open ? open.tasting !== id : Boolean(currentPour.peek()?.created);
}

function NotFound() {
  return html`<${Page} title=${t('app.room_pour')} back="/pour">
    <div class="empty"><p class="voice">${t('pour.missing')}</p>
    <a class="button" href="#/pour">${t('pour.to_open_pour')}</a></div><//>`;
}
