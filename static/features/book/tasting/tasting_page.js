// Page of one tasting: verdict and words first, then the steps, folded; each links to its editor.
import { html, useEffect, useMemo, useState } from '../../../lib/ui.js';
import { navigate } from '../../../router.js';
import { date, time } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import { useProgressiveList } from '../../../components/layout/progressive.js';
import { Fold } from '../../../components/layout/fold.js';
import { Page } from '../../shell/page.js';
import { showToast } from '../../../components/layout/toast.js';
import {
  bottlesByIds,
  liveSignal,
  settings,
  tasting as readTasting,
  tastingsOfBottle,
  visit as readVisit,
} from '../../../store/queries.js';
import { isEmptied } from '../../../store/record.js';
import { removeNote, restoreNote } from '../../../domain/blind/remove_note.js';
import { photosOf } from '../../../photos/photos.js';
import { LazySheet } from '../../shell/lazy.js';
import { mergedBottles } from '../../../domain/bottle/merged_bottles.js';
import { bottleName, resolveBottle } from '../../../domain/bottle_names.js';
import { BottleFactList, bottleDigest } from '../bottle/bottle_facts.js';
import { Revisions } from './revisions.js';
import { localDateTime } from '../../../lib/datetime.js';
import { PhotoStrip } from '../bottle/photo_strip.js';
import { Share } from '../../../domain/share/share.js';
import { tastingShare } from '../../../domain/share/share_data.js';
import { LazyEvidence } from './lazy_evidence.js';
import { servingFacts } from '../../../domain/tasting/serving_facts.js';
import { EditStep, TastingDetails, Verdict } from '../../../domain/tasting/tasting_details.js';
import { LikingValue, TastingRow } from '../../../domain/tasting_row.js';
import { AtThumb } from '../../../components/layout/at_thumb.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/**
 * @typedef {{ tasting: Row | undefined, bottle: Row | null, others: Row[], visit: Row | undefined, units: Row |
 *   undefined, hasPhotos: boolean, asked: boolean }} Read
 */

/** After this time the page is rendered even if IndexedDB does not respond. */
const MAX_WAIT_MS = 1000;
/** @type {Read} */
const INITIAL_VALUE = {
  tasting: undefined,
  bottle: null,
  others: [],
  visit: undefined,
  units: undefined,
  hasPhotos: false,
  asked: false,
};

/** @param {string} id @returns {Promise<Read>} */
async function readAll(id) {
  const tasting = await readTasting(id);
  const bottleId = tasting?.fields['bottle'];
  const visitId = tasting?.fields['visit'];
  const [bottles, merged, visit, units, photos] = await Promise.all([
    bottlesByIds([bottleId]),
    mergedBottles(),
    visitId ? readVisit(visitId) : undefined,
    settings(),
    photosOf({ tasting: id }),
  ]);
  const bottle = resolveBottle(bottles, bottleId);
  const ids = bottle ? [bottle.id, ...(merged.get(bottle.id) ?? [])] : [bottleId].filter(Boolean);
  const ofBottle = await tastingsOfBottle(...ids);
  return {
    tasting,
    bottle,
    others: ofBottle.filter((row) => row.id !== id),
    visit,
    units,
    hasPhotos: photos.length > 0,
    asked: true,
  };
}

/** Data of the next page, read while the previous page is still shown. */
let ahead = { id: '', read: liveSignal(() => INITIAL_VALUE, INITIAL_VALUE), stop() {} };

/**
 * @param {string} id
 * @returns {Promise<void>} resolves when it is read, or after a timeout
 */
export function prepare(id) {
  ahead.stop();
  const read = liveSignal(() => readAll(id), INITIAL_VALUE);
  return new Promise((resolve) => {
    const stop = read.subscribe(({ asked }) => {
      if (asked) resolve();
    });
    ahead = { id, read, stop };
    setTimeout(resolve, MAX_WAIT_MS);
  });
}

/** @param {{ id: string }} props */
export function TastingPage({ id }) {
  const read = useMemo(() => (ahead.id === id ? ahead.read : liveSignal(() => readAll(id), INITIAL_VALUE)), [id]);
  // From here on the page subscribes itself.
  useEffect(() => {
    if (ahead.id === id) ahead.stop();
  }, [id]);
  const { tasting, asked } = read.value;
  if (!asked) return html`<${Page} title=${'\u00a0'} back="/book" />`;
  if (!tasting || tasting.gone) return html`<${Deleted} tasting=${tasting} />`;
  return html`<${TastingBody} key=${id} ...${read.value} tasting=${tasting} />`;
}

/** @param {Read & { tasting: Row }} props */
function TastingBody({ tasting, bottle, others, visit, units, hasPhotos }) {
  const { id, fields } = tasting;
  // In one piece, after the verdict is painted.
  const below = useProgressiveList(
    () => [
      html`<${BottleFold} tasting=${tasting} bottle=${bottle} units=${units?.fields ?? {}} />`,
      html`<${TastingDetails} id=${id} fields=${fields} units=${units?.fields ?? {}} />`,
      html`<${LazyEvidence} id=${id} tasting=${fields} bottle=${bottle?.fields ?? {}} />`,
      others.length > 0 && html`<${OtherTastings} others=${others} />`,
      html`<${Share} title=${t('book.share')} data=${() => tastingShare(tasting, bottle, units?.fields ?? {})} />`,
      html`<${FurtherActions} tasting=${tasting} bottle=${bottle} />`,
    ],
    [tasting, bottle, others, units],
    { more: Infinity },
  );
  const note = fields['words'];
  return html`<${Page} className="page note-page" title=${bottleName(bottle)} back="/book"
      trailing=${html`<${LikingValue} liking=${fields['liking']} />`}>
    <p class="tasting-when">${whenAndWhere(fields, visit)}</p>
    ${fields['liking'] && html`<p class="voice tasting-liking">${t(`liking.${fields['liking']}`)}</p>`}
    ${note && html`<blockquote class="tasting-words">${note}</blockquote>`}
    <div class="tasting-verdict"><${Verdict} fields=${fields} /></div>
    ${
      visit &&
      !visit.gone &&
      html`<p class="tasting-more">
    <a class="button plain" href=${`#/pour/visit/${visit.id}`}>${t('book.visit_open')}
    </a>
    </p>`
    }
    <${PhotoStrip} of=${{ tasting: id }} untitled=${!hasPhotos} />
    <div class="tasting-folds">${below}</div>
    <${AtThumb}>
      <a class="button primary" href=${`#/pour/${id}/note`}>${t('book.edit_tasting')}</a>
    <//>
  <//>`;
}

/** @param {{ tasting: Row, bottle: Row | null, units: import('../../../store/record.js').Fields }} props */
function BottleFold({ tasting: { id, fields }, bottle, units }) {
  return html`<${Fold} onPaper title=${t('book.step_bottle')} line=${bottleDigest(bottle)}>
    <${BottleFactList} bottle=${bottle} today=${fields['tasted_at']?.slice(0, 10)}
      more=${servingFacts(fields, units)} />
    <${EditStep} id=${id} step="bottle" title=${t('book.step_bottle')} />
    ${
      bottle &&
      !bottle.fields['covered'] &&
      html`<p class="tasting-more">
    <a class="button plain" href=${`#/book/bottle/${bottle.id}`}>${t('book.bottle_life')}
    </a>
    </p>`
    }
  <//>`;
}

/** @param {{ tasting: Row | undefined }} props */
function Deleted({ tasting }) {
  return html`<${Page} title=${t('book.gone_title')} back="/book"><div class="empty">
    <p class="voice">${t(tasting ? 'book.gone' : 'book.never_here')}</p>
    ${
      tasting &&
      !isEmptied(tasting) &&
      html`<button type="button" class="button" onClick=${() => restoreNote(tasting)}>
      ${t('book.put_back')}
    </button>`
    }
  </div><//>`;
}

/** @param {Row} shown @param {string} name */
async function removeAndLeave(shown, name) {
  await removeNote(shown);
  navigate('/book', { replace: true });
  showToast(t('book.deleted', { name }), () => {
    restoreNote(shown);
  });
}

/** @param {import('../../../store/record.js').Fields} fields @param {Row | undefined} visit */
function whenAndWhere(fields, visit) {
  const at = fields['tasted_at'];
  const when = at
    ? [
        date(localDateTime(at), { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric' }),
        time(localDateTime(at)),
      ]
    : [t('book.no_day')];
  return [
    ...when,
    fields['place'] ?? visit?.fields['place'],
    visit?.fields['name'],
    fields['example'] && t('app.sample'),
  ]
    .filter(Boolean)
    .filter((part, index, all) => all.indexOf(part) === index)
    .join(', ');
}

/** @param {{ others: Row[] }} props */
function OtherTastings({ others }) {
  return html`<${Fold} title=${t('book.same_bottle')} line=${t('book.in_all', { count: others.length })}>
    <ul class="ruled">${others.slice(0, 12).map((row) => html`<li key=${row.id}><${TastingRow} tasting=${row} /></li>`)}
    </ul>
  <//>`;
}

const comparePicker = () => import('../../compare/compare_picker.js').then((module) => module.ComparePicker);

/** Draw the ways to comparison, earlier versions and deletion. @param {{ tasting: Row, bottle: Row | null }} props */
function FurtherActions({ tasting, bottle }) {
  const { id } = tasting;
  const [choosing, setChoosing] = useState(false);
  return html`<div class="tasting-step tasting-actions">
    <button type="button" class="button plain tasting-more" onClick=${() => setChoosing(true)}>
      ${t('book.side_choose')}
    </button>
    <button type="button" class="button plain tasting-more"
      onClick=${() => removeAndLeave(tasting, bottleName(bottle))}>
      ${t('book.delete_note')}
    </button>
    <${Revisions} of=${[
      { kind: 'tasting', id },
      ...(bottle && !bottle.fields['covered'] ? [{ kind: 'bottle', id: bottle.id }] : []),
    ]} />
  </div>
  <${LazySheet} loader=${comparePicker} open=${choosing} onClose=${() => setChoosing(false)} ids=${[id]} />`;
}
