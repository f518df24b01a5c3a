// Page of one visit: its pours, hidden labels, comparison of two to four, and intake.
import { html, useMemo, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate } from '../../router.js';
import { date, time } from '../../lib/format.js';
import { bottlesByIds, liveSignal, tastingsOfVisit, visit as readVisit } from '../../store/queries.js';
import { showToast } from '../../components/layout/toast.js';
import { LikingValue } from '../../domain/tasting_row.js';
import { Page } from '../shell/page.js';
import { revealFlight } from '../../domain/blind/flight.js';
import { isLabelHidden, nextHiddenGlass } from '../../domain/blind/glasses.js';
import { findHiddenRepeats, RepeatRow } from '../../domain/blind/hidden_repeats.js';
import { Intake } from '../../domain/intake/intake.js';
import { bottleName, pourName, resolveBottle } from '../../domain/bottle_names.js';
import { VisitTriangle } from '../../domain/blind/triangle_store.js';
import { endVisit, resumeVisit, runningVisit } from '../../domain/pour/visits.js';
import { MAX_COMPARED } from '../../domain/compare_limit.js';
import { Share } from '../../domain/share/share.js';
import { visitShare } from '../../domain/share/share_data.js';
import { cachedSettings } from '../../domain/units.js';
import { Row } from '../../components/layout/row.js';
import { localDateTime } from '../../lib/datetime.js';
import { VisitOnPaper } from './visit_on_paper.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ row: Row | undefined, runs: boolean, pours: Row[], bottles: Map<string, Row>, asked: boolean }} Read */

const MIN_COMPARED = 2;

/** @type {Read} */
const INITIAL_VALUE = { row: undefined, runs: false, pours: [], bottles: new Map(), asked: false };

/** @param {string} id @returns {Promise<Read>} */
async function readAll(id) {
  const pours = await tastingsOfVisit(id);
  return {
    row: await readVisit(id),
    runs: (await runningVisit())?.id === id,
    pours,
    bottles: await bottlesByIds(pours.map((row) => row.fields['bottle'])),
    asked: true,
  };
}

/** @param {{ path: string[] }} props */
export function VisitPage({ path }) {
  const id = path[1] ?? '';
  const { row, runs, pours, bottles, asked } = useMemo(() => liveSignal(() => readAll(id), INITIAL_VALUE), [id]).value;
  const [chosen, setChosen] = useState(/** @type {string[]} */ ([]));
  if (!asked) return html`<${Page} title=${'\u00a0'} back="/pour" trailing="" />`;
  if (!row || row.gone)
    return html`<${Page} title=${t('evening.visit')} back="/pour" trailing="">
    <p class="empty voice">${t('evening.visit_missing')}
    </p>
    <//>`;
  const { name, place, on, ended_at } = row.fields;
  const covered = pours.filter(isLabelHidden);
  const toggle = (/** @type {string} */ tasting) =>
    setChosen(
      chosen.includes(tasting) ? chosen.filter((each) => each !== tasting) : [...chosen, tasting].slice(-MAX_COMPARED),
    );
  return html`<${Page} title=${name ?? place ?? t('pour.visit_unnamed', { on: on ? date(on) : '' })} back="/pour"
      trailing="">
    <${VisitHead} visit=${row.fields} count=${pours.length} />
    <ol class="ruled visit-pours" aria-label=${t('evening.pours_listed')}>
      ${pours.map(
        (pour, index) => html`<${PourRow} key=${pour.id} pour=${pour} number=${index + 1}
          name=${pourName(pour, bottles)} chosen=${chosen.includes(pour.id)} onChoose=${() => toggle(pour.id)} />`,
      )}
    </ol>
    ${pours.length >= MIN_COMPARED && html`<p class="field-note">${t('evening.side_note')}</p>`}
    ${covered.length > 0 && html`<${Reveal} covered=${covered} bottles=${bottles} />`}
    ${findHiddenRepeats(pours.filter((pour) => !isLabelHidden(pour))).map(
      (rows) => html`<${RepeatRow}
        key=${rows[0]?.id} rows=${rows} name=${bottleName(resolveBottle(bottles, rows[0]?.fields['bottle']))} />`,
    )}
    <${VisitTriangle} visit=${row.fields} />
    ${pours.length > 0 && html`<${Intake} visit=${id} />`}
    ${pours.length > 0 && html`<${ShareVisit} visit=${row.fields} pours=${pours} bottles=${bottles} />`}
    <${Ending} id=${id} ended=${Boolean(ended_at)} />
    <${AtThumb}>${
      chosen.length >= MIN_COMPARED
        ? html`<a class="button primary" href=${`#/pour/side?of=${chosen.join(',')}`}>
          ${t('evening.side_lay', { count: chosen.length })}
        </a>`
        : html`<button type="button" class="button primary" onClick=${() => resume(id, runs)}>
          ${t(
            covered.some((pour) => !pour.fields['closed_at'])
              ? 'evening.next_glass'
              : runs
                ? 'evening.next_pour'
                : 'evening.one_more',
          )}
        </button>`
    }<//>
  <//>`;
}

/** @param {{ visit: import('../../store/record.js').Fields, count: number }} props count: of its pours */
function VisitHead({ visit: { name, place, on, words }, count }) {
  const facts = [on && date(on), place !== name && place, count > 0 && t('evening.pours', { count })];
  return html`<p class="voice guide">${facts.filter(Boolean).join(', ')}</p>
    ${words && html`<blockquote class="tasting-words">${words}</blockquote>`}`;
}

/** @param {{ pour: Row, number: number, name: string, chosen: boolean, onChoose: () => void }} props */
function PourRow({ pour, number, name, chosen, onChoose }) {
  const { closed_at, tasted_at, liking, flight_mark } = pour.fields;
  const note = [
    flight_mark && !isLabelHidden(pour) ? t('evening.glass', { mark: flight_mark }) : null,
    closed_at ? null : t('evening.open_still'),
    tasted_at && !flight_mark ? time(localDateTime(tasted_at)) : null,
  ]
    .filter(Boolean)
    .join(', ');
  return html`<li class="visit-pour">
  <button type="button" class="choice pick-pour figure" aria-pressed=${chosen}
      aria-label=${t('evening.side_choose', { name })} onClick=${onChoose}>
    ${number}
  </button>
    <${Row} href=${closed_at ? `#/book/${pour.id}` : `#/pour/${pour.id}/note`} name=${name} line=${note} />
    <${LikingValue} liking=${liking} />
    </li>`;
}

/** @param {{ covered: Row[], bottles: Map<string, Row> }} props */
function Reveal({ covered, bottles }) {
  const [sure, setSure] = useState(false);
  const open = covered.filter((pour) => !pour.fields['closed_at']).length;
  const revealAll = async () => {
    if (open && !sure) return setSure(true);
    await revealFlight(covered, bottles);
    return showToast(t('evening.uncovered'));
  };
  return html`<div class="cover">
  <p class="field-note">${t(sure ? 'evening.uncover_open' : 'evening.uncover_note', { count: open })}
  </p>
    <button type="button" class="button" onClick=${revealAll}>
      ${t(sure ? 'evening.uncover_anyway' : 'evening.uncover_all', { count: covered.length })}
    </button>
    </div>`;
}

/** @param {{ visit: import('../../store/record.js').Fields, pours: Row[], bottles: Map<string, Row> }} props */
function ShareVisit({ visit, pours, bottles }) {
  return html`<${Share} title=${t('evening.share_visit')}
    data=${() => visitShare(visit, pours, bottles, cachedSettings())} />
    <${VisitOnPaper} visit=${visit} pours=${pours} bottles=${bottles} />`;
}

/** @param {{ id: string, ended: boolean }} props */
function Ending({ id, ended }) {
  const end = async () => {
    await endVisit(id);
    showToast(t('pour.visit_ended'), () => {
      resumeVisit(id);
    });
  };
  return html`<div class="buttons">
    ${
      ended
        ? html`<button type="button" class="button plain" onClick=${() => resumeVisit(id)}>
      ${t('evening.visit_resume')}
    </button>`
        : html`<button type="button" class="button plain" onClick=${end}>${t('pour.end_visit')}
    </button>`
    }
  </div>`;
}

/**
 * @param {string} visit
 * @param {boolean} runs false for an ended visit, which a new pour joins only if its route names it
 */
async function resume(visit, runs) {
  const glass = await nextHiddenGlass(visit, '');
  navigate(glass ? `/pour/${glass}/note` : runs ? '/pour' : `/pour?visit=${visit}`);
}
