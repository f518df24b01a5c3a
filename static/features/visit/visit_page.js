// One visit: its pours in their order, what is covered among them, two to four of them laid side by side, and its pace.
import { html, useMemo, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { date, time } from '../../lib/format.js';
import { bottlesByIds, liveSignal, tastingsOfVisit, visit as readVisit, visits } from '../../store/queries.js';
import { showToast } from '../../components/layout/toast.js';
import { LikingFigure } from '../../domain/list_rows.js';
import { Page } from '../shell/page.js';
import { uncoverFlight } from '../../domain/blind/flight.js';
import { isStillCovered, nextGlass } from '../../domain/blind/glasses.js';
import { hiddenRepeats, Repeated } from '../../domain/blind/hidden_repeats.js';
import { bottleName } from '../../domain/pour/pour_title.js';
import { Pace } from '../../domain/intake/intake.js';
import { pourName } from '../../domain/pour/pour_name.js';
import { TriangleOfVisit } from '../../domain/blind/triangle_store.js';
import { endVisit, resumeVisit, runningVisit } from '../../domain/pour/visits.js';
import { MOST } from '../../domain/compare_limit.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ row: Row | undefined, runs: boolean, pours: Row[], bottles: Map<string, Row>, asked: boolean }} Read */

const FEWEST = 2;

/** @type {Read} */
const NOTHING_YET = { row: undefined, runs: false, pours: [], bottles: new Map(), asked: false };

/** @param {string} id @returns {Promise<Read>} */
async function readAll(id) {
  const pours = await tastingsOfVisit(id);
  return { row: await readVisit(id), runs: runningVisit(await visits(), new Date())?.id === id, pours, bottles: await bottlesByIds(pours.map((row) => row.fields['bottle'])), asked: true };
}

/** @param {{ path: string[] }} props */
export function VisitPage({ path }) {
  const id = path[1] ?? '';
  const { row, runs, pours, bottles, asked } = useMemo(() => liveSignal(() => readAll(id), NOTHING_YET), [id]).value;
  const [chosen, setChosen] = useState(/** @type {string[]} */ ([]));
  if (!asked) return html`<${Page} title=${'\u00a0'} back="/pour" aside="" />`;
  if (!row || row.gone) return html`<${Page} title=${t('evening.visit')} back="/pour" aside=""><p class="empty voice">${t('evening.visit_missing')}</p><//>`;
  const { name, place, on, ended_at } = row.fields;
  const covered = pours.filter(isStillCovered);
  const toggle = (/** @type {string} */ tasting) => setChosen(chosen.includes(tasting) ? chosen.filter((each) => each !== tasting) : [...chosen, tasting].slice(-MOST));
  return html`<${Page} title=${name ?? place ?? t('pour.visit_unnamed', { on: on ? date(on) : '' })} back="/pour" aside="">
    <p class="voice guide">${[on ? date(on) : null, place !== name ? place : null, pours.length ? t('evening.pours', { count: pours.length }) : null].filter(Boolean).join(', ')}</p>
    <ol class="ruled visit-pours">${pours.map((pour, index) => html`<${PourRow} key=${pour.id} pour=${pour} number=${index + 1} name=${pourName(pour, bottles)} chosen=${chosen.includes(pour.id)} onChoose=${() => toggle(pour.id)} />`)}</ol>
    ${pours.length >= FEWEST && html`<p class="field-note">${t('evening.side_note')}</p>`}
    ${covered.length > 0 && html`<${Uncover} visit=${id} covered=${covered} />`}
    ${hiddenRepeats(pours.filter((pour) => !isStillCovered(pour))).map((rows) => html`<${Repeated} key=${rows[0]?.id} rows=${rows} name=${bottleName(bottles.get(rows[0]?.fields['bottle'])?.fields ?? {})} />`)}
    <${TriangleOfVisit} visit=${row.fields} />
    ${pours.length > 0 && html`<${Pace} visit=${id} />`}
    <${Ending} id=${id} ended=${Boolean(ended_at)} />
    <div class="at-thumb">${chosen.length >= FEWEST
      ? html`<a class="button primary" href=${`#/pour/side?of=${chosen.join(',')}`}>${t('evening.side_lay', { count: chosen.length })}</a>`
      : html`<button type="button" class="button primary" onClick=${() => goOn(id, runs)}>${t(covered.some((pour) => !pour.fields['closed_at']) ? 'evening.next_glass' : runs ? 'evening.next_pour' : 'evening.one_more')}</button>`}</div>
  <//>`;
}

/** @param {{ pour: Row, number: number, name: string, chosen: boolean, onChoose: () => void }} props */
function PourRow({ pour, number, name, chosen, onChoose }) {
  const { closed_at, tasted_at, liking, flight_mark } = pour.fields;
  const note = [flight_mark && !isStillCovered(pour) ? t('evening.glass', { mark: flight_mark }) : null, closed_at ? null : t('evening.open_still'), tasted_at && !flight_mark ? time(tasted_at.slice(0, 19)) : null].filter(Boolean).join(', ');
  return html`<li class="visit-pour"><button type="button" class="choice pick-pour figure" aria-pressed=${chosen} aria-label=${t('evening.side_choose', { name })} onClick=${onChoose}>${number}</button>
    <a class="row" href=${closed_at ? `#/book/${pour.id}` : `#/pour/${pour.id}/note`}><span class="grow"><span class="name">${name}</span><span class="soft small">${note}</span></span></a><${LikingFigure} liking=${liking} /></li>`;
}

/** @param {{ visit: string, covered: Row[] }} props */
function Uncover({ visit, covered }) {
  const [sure, setSure] = useState(false);
  const open = covered.filter((pour) => !pour.fields['closed_at']).length;
  const uncover = async () => {
    if (open && !sure) return setSure(true);
    await uncoverFlight(visit);
    return showToast(t('evening.uncovered'));
  };
  return html`<div class="cover"><p class="field-note">${t(sure ? 'evening.uncover_open' : 'evening.uncover_note', { count: open })}</p>
    <button type="button" class="button" onClick=${uncover}>${t(sure ? 'evening.uncover_anyway' : 'evening.uncover_all', { count: covered.length })}</button></div>`;
}

/** @param {{ id: string, ended: boolean }} props */
function Ending({ id, ended }) {
  const end = async () => {
    await endVisit(id);
    showToast(t('pour.visit_ended'), () => { resumeVisit(id); });
  };
  return html`<div class="buttons">${ended ? html`<button type="button" class="button plain" onClick=${() => resumeVisit(id)}>${t('evening.visit_resume')}</button>` : html`<button type="button" class="button plain" onClick=${end}>${t('pour.end_visit')}</button>`}</div>`;
}

/** @param {string} visit @param {boolean} runs a visit that is over takes one more pour only when it is asked to */
async function goOn(visit, runs) {
  const glass = await nextGlass(visit, '');
  navigate(glass ? `/pour/${glass}/note` : runs ? '/pour' : `/pour?visit=${visit}`);
}
