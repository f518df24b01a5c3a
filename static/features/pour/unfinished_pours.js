// Unfinished pours of the last days, which can be continued.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { time } from '../../lib/format.js';
import { bottlesByIds, liveSignal, latestTastings } from '../../store/queries.js';
import { syncStatus } from '../../sync/status.js';
import { SyncStatus } from '../shell/page.js';
import { currentPour, isEmpty, isFinished } from '../../domain/pour/current_pour.js';
import { pourName } from '../../domain/bottle_names.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ isFirst: boolean }} First whether the notebook has no other tasting */

const MAX_TASTINGS = 12;
const OWN_AND_ONE_MORE = 2;
const DAYS_MS = 3 * 86_400_000;

export function UnfinishedPours() {
  const pour = currentPour.value;
  const found = useMemo(
    () => liveSignal(unfinishedPours, /** @type {{ row: Row, name: string }[]} */ ([])),
    [],
  ).value.filter(({ row }) => row.id !== pour?.tasting);
  if (!found.length) return null;
  // A time without its offset is read as the wall clock of the place where it was written.
  return html`<section class="left-open"><h2 class="label">${t('pour.left_open')}</h2>
    <ul class="ruled">
      ${found.map(
        ({ row, name }) => html`<li key=${row.id}>
      <a class="row" href=${`#/pour/${row.id}/note`}>
      <span class="grow name">${name}
      </span>
      <span class="soft small figure">${time(row.fields['tasted_at'].slice(0, 19))}
      </span>
      </a>
      </li>`,
      )}
    </ul>
    </section>`;
}

async function unfinishedPours() {
  const rows = (await latestTastings(MAX_TASTINGS)).filter(
    ({ fields }) =>
      !fields['closed_at'] && !fields['example'] && Math.abs(Date.now() - Date.parse(fields['tasted_at'])) < DAYS_MS,
  );
  const bottles = await bottlesByIds(rows.map((row) => row.fields['bottle']));
  return rows.map((row) => ({ row, name: pourName(row, bottles) }));
}

/** Link to the example, on the first page of an empty notebook, until something is entered. @param {First} props */
export function ExampleLink({ isFirst }) {
  return isEmpty.value && isFirst ? html`<a class="button" href="#/book?example">${t('pour.example')}</a>` : null;
}

/** Say what this is, until the first note is saved. @param {First} props */
export function Welcome({ isFirst }) {
  return isFirst && html`<p class="voice welcome">${t('pour.welcome')}</p>`;
}

/** Say nothing of saving before there is something to save, and that it is a draft until then. @param {First} props */
export function PourStatus({ isFirst }) {
  const { rejected, isBlocked } = syncStatus.value;
  if (rejected.length || isBlocked || isFinished.value) return html`<${SyncStatus} />`;
  if (!isEmpty.value) return html`<a class="state-words" href="#/settings">${t('pour.draft')}</a>`;
  return isFirst ? html`<span></span>` : html`<${SyncStatus} />`;
}

/** @returns {boolean} whether the notebook has no tasting but the one that is being entered */
export function useIsFirst() {
  const pour = currentPour.value;
  const newest = useMemo(() => liveSignal(() => latestTastings(OWN_AND_ONE_MORE), null), []).value;
  return newest ? newest.every((row) => row.id === pour?.tasting) : Boolean(pour?.isFirst);
}
