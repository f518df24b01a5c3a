// Pour screen: the quick note, and the pages of its steps.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { openPour } from '../../store/open_pour.js';
import { tasting } from '../../store/queries.js';
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
  const loader = pageFor(path[0]);
  return loader
    ? html`<${PourPage} loader=${loader} path=${path} query=${query} />`
    : html`<${CurrentPourScreen} path=${path} query=${query} />`;
}

/** @param {{ loader: import('../shell/lazy.js').Loader, path: string[], query: URLSearchParams }} props */
function PourPage({ loader, path, query }) {
  const Screen = useLazy(loader);
  return Screen ? html`<${Screen} key=${path.join('/')} path=${path} query=${query} />` : null;
}

/** @param {{ path: string[], query: URLSearchParams }} props */
function CurrentPourScreen({ path, query }) {
  const [requestedId, slug] = path;
  const asked = requestedId ? '' : `${query.get('bottle') ?? ''}/${query.get('visit') ?? ''}`;
  const pour = currentPour.value;
  const [missing, setMissing] = useState(false);
  useEffect(() => {
    let left = false;
    resolveRoute(requestedId, slug, asked).then((found) => {
      if (!left) setMissing(!found);
    });
    return () => {
      left = true;
    };
  }, [requestedId, slug, asked, pour?.gone]);
  const step = requestedId ? parseStep(slug) : currentStep.value;
  const page = missing ? 'missing' : step === 'evidence' ? step : 'step';
  const LazyStep = useLazy(page === 'step' && step === 'note' ? null : pourPages[page]);
  // The previous page stays until the next one is loaded.
  const previous = useRef(/** @type {unknown} */ (null));
  if (missing) return LazyStep && html`<${LazyStep} id=${requestedId} />`;
  if (!pour || (requestedId && requestedId !== pour.tasting)) return html`<${Page} title=${t('app.room_pour')} />`;
  if (step === 'note') previous.current = html`<${QuickNote} key=${pour.tasting} />`;
  // One key for all steps, because a new page costs more time and takes the focus off the step navigation.
  else if (LazyStep) previous.current = html`<${LazyStep} key=${pour.tasting} step=${step} />`;
  return previous.current;
}

/**
 * @param {string | undefined} requestedId
 * @param {string | undefined} slug
 * @param {string} asked bottle and visit of the next pour, as `bottle/visit`
 * @returns {Promise<boolean>} whether the pour exists
 */
async function resolveRoute(requestedId, slug, asked) {
  await finishTimer.restore();
  const [bottleId, visitId] = asked.split('/');
  if (bottleId || visitId) {
    if (bottleId) await startWithBottle(bottleId);
    else await startInVisit(String(visitId));
    navigate('/pour', { replace: true });
    return true;
  }
  const pour = currentPour.peek();
  const unfinished = openPour.peek()?.tasting;
  if (!pour || (requestedId ? pour.tasting !== requestedId : isPourPage(pour.tasting)) || (await isGone(pour))) {
    if (!(await loadPour(requestedId))) return false;
    if (!requestedId && unfinished && unfinished !== currentPour.peek()?.tasting)
      import('./deleted_elsewhere.js').then(({ sayDeletion }) => sayDeletion(unfinished)).catch(() => undefined);
  }
  const open = openPour.peek();
  if (!requestedId && open && open.step !== 'note' && open.tasting === currentPour.peek()?.tasting) {
    navigate(`/pour/${open.tasting}/${open.step}`, { replace: true });
    return true;
  }
  goToStep(requestedId ? parseStep(slug) : 'note');
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

/** Tell whether the note was removed. @param {import('../../domain/pour/current_pour.js').CurrentPour} pour */
async function isGone({ tasting: id }) {
  return (await tasting(id))?.gone;
}
