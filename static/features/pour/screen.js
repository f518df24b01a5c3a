// Pour: taste now. A pour waits to be noted; beneath it lie the seven steps of the whole tasting.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { openPour } from '../../store/open_pour.js';
import { restoreFinishTimer } from '../../store/finish_timer.js';
import { Page } from '../shell/page.js';
import { useScreen } from '../shell/lazy.js';
import { asideDoor, ofPour } from './routes.js';
import { inHand, stepAt } from '../../domain/pour/current_pour.js';
import { openInVisit, openWith } from './finish_pour.js';
import { Note } from './quick_note.js';
import { readStep } from '../../domain/pour/tasting_steps.js';
import { standAt, takeUp } from '../../domain/pour/load_pour.js';

/** @param {{ path: string[], query: URLSearchParams }} props */
export function Room({ path, query }) {
  const door = asideDoor(path[0]);
  return door ? html`<${Aside} door=${door} path=${path} query=${query} />` : html`<${Pouring} path=${path} query=${query} />`;
}

/** @param {{ door: import('../shell/lazy.js').Door, path: string[], query: URLSearchParams }} props */
function Aside({ door, path, query }) {
  const Screen = useScreen(door);
  return Screen ? html`<${Screen} key=${path.join('/')} path=${path} query=${query} />` : null;
}

/** @param {{ path: string[], query: URLSearchParams }} props */
function Pouring({ path, query }) {
  const [wanted, slug] = path;
  const asked = wanted ? '' : `${query.get('bottle') ?? ''}/${query.get('visit') ?? ''}`;
  const [missing, setMissing] = useState(false);
  useEffect(() => {
    let left = false;
    arrive(wanted, slug, asked).then((found) => { if (!left) setMissing(!found); });
    return () => { left = true; };
  }, [wanted, slug, asked]);
  const hand = inHand.value;
  const step = wanted ? readStep(slug) : stepAt.value;
  const Behind = useScreen(step === 'note' ? null : ofPour[step === 'evidence' ? 'evidence' : 'step']);
  // The screen one leaves stays until the next one is here.
  const stood = useRef(/** @type {unknown} */ (null));
  if (missing) return html`<${Missing} />`;
  if (!hand || (wanted && wanted !== hand.tasting)) return html`<${Page} title=${t('app.room_pour')} />`;
  if (step === 'note') stood.current = html`<${Note} key=${hand.tasting} />`;
  else if (Behind) stood.current = html`<${Behind} key=${`${hand.tasting}/${step}`} step=${step} />`;
  return stood.current;
}

/**
 * @param {string | undefined} wanted
 * @param {string | undefined} slug
 * @param {string} asked of which bottle or in which visit the next pour is to be, as `bottle/visit`
 * @returns {Promise<boolean>} whether there is such a pour
 */
async function arrive(wanted, slug, asked) {
  await restoreFinishTimer();
  const [bottleId, visitId] = asked.split('/');
  if (bottleId || visitId) {
    if (bottleId) await openWith(bottleId);
    else await openInVisit(String(visitId));
    navigate('/pour', { replace: true });
    return true;
  }
  const hand = inHand.peek();
  if (!hand || (wanted && hand.tasting !== wanted) || (!wanted && isAside(hand.tasting))) {
    if (!(await takeUp(wanted))) return false;
  }
  const open = openPour.peek();
  if (!wanted && open && open.step !== 'note' && open.tasting === inHand.peek()?.tasting) {
    navigate(`/pour/${open.tasting}/${open.step}`, { replace: true });
    return true;
  }
  standAt(wanted ? readStep(slug) : 'note');
  return true;
}

/** Whether the pour in hand is one that was edited beside the open one. @param {string} id */
function isAside(id) {
  const open = openPour.peek();
  return open ? open.tasting !== id : Boolean(inHand.peek()?.begun);
}

function Missing() {
  return html`<${Page} title=${t('app.room_pour')} back="/pour"><div class="empty"><p class="voice">${t('pour.missing')}</p>
    <a class="button" href="#/pour">${t('pour.to_open_pour')}</a></div><//>`;
}
