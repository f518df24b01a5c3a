// Pour: taste now. A pour waits to be noted; beneath it lie the seven steps of the whole tasting.
import { html, useEffect, useState } from '../../ui.js';
import { t } from '../../words.js';
import { go } from '../../router.js';
import { openPour } from '../../book/open_pour.js';
import { askAboutFinish } from '../../book/finish_clock.js';
import { Page } from '../page.js';
import { inHand, stepAt } from './in_hand.js';
import { openWith } from './keeping.js';
import { eveningPages } from './evening_pages.js';
import { EvidencePage } from './evidence_page.js';
import { Note } from './note.js';
import { readStep } from './steps.js';
import { StepPage } from './step_page.js';
import { standAt, takeUp } from './taking_up.js';

export const words = ['pour', 'aromas', 'hues', 'evening'];

/** @param {{ path: string[], query: URLSearchParams }} props */
export function Room({ path, query }) {
  const Beside = Object.hasOwn(eveningPages, path[0] ?? '') ? eveningPages[path[0] ?? ''] : null;
  return Beside ? html`<${Beside} key=${path.join('/')} path=${path} query=${query} />` : html`<${Pouring} path=${path} query=${query} />`;
}

/** @param {{ path: string[], query: URLSearchParams }} props */
function Pouring({ path, query }) {
  const [wanted, slug] = path;
  const asked = wanted ? undefined : query.get('bottle') ?? undefined;
  const [missing, setMissing] = useState(false);
  useEffect(() => {
    let left = false;
    arrive(wanted, slug, asked).then((found) => { if (!left) setMissing(!found); });
    return () => { left = true; };
  }, [wanted, slug, asked]);
  const hand = inHand.value;
  if (missing) return html`<${Missing} />`;
  if (!hand || (wanted && wanted !== hand.tasting)) return html`<${Page} title=${t('app.room_pour')} />`;
  const step = wanted ? readStep(slug) : stepAt.value;
  if (step === 'evidence') return html`<${EvidencePage} key=${hand.tasting} />`;
  return step === 'note' ? html`<${Note} key=${hand.tasting} />` : html`<${StepPage} key=${`${hand.tasting}/${step}`} step=${step} />`;
}

/**
 * @param {string | undefined} wanted
 * @param {string | undefined} slug
 * @param {string | undefined} bottleId a bottle that the next pour is to be of
 * @returns {Promise<boolean>} whether there is such a pour
 */
async function arrive(wanted, slug, bottleId) {
  await askAboutFinish();
  if (bottleId) {
    await openWith(bottleId);
    go('/pour', { replace: true });
    return true;
  }
  const hand = inHand.peek();
  if (!hand || (wanted && hand.tasting !== wanted) || (!wanted && isAside(hand.tasting))) {
    if (!(await takeUp(wanted))) return false;
  }
  const open = openPour.peek();
  if (!wanted && open && open.step !== 'note' && open.tasting === inHand.peek()?.tasting) {
    go(`/pour/${open.tasting}/${open.step}`, { replace: true });
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
