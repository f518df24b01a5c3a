// Suggests known bottles for a typed name, and shows earlier ratings of a linked bottle.
import { html, useEffect, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { localDateTime } from '../../../lib/datetime.js';
import { date } from '../../../lib/format.js';
import { liveSignal, tastingsOfBottle } from '../../../store/queries.js';
import { FieldSlot } from '../../../domain/pour/fields.js';
import { currentPour, values } from '../../../domain/pour/current_pour.js';
import { suggestBottles } from '../../../domain/bottle/match_bottle.js';
import { wineName } from '../../../domain/bottle_names.js';
import { styleName } from '../../../domain/style_names.js';
import { Row } from '../../../components/layout/row.js';

/** @typedef {import('../../../store/record.js').Row} Row */

const switching = () => import('../../../domain/bottle/switch_bottle.js');

/** Show suggestions below the name field while it is typed. */
export function BottleSuggestions() {
  const [known, setKnown] = useState(/** @type {import('../../../domain/bottle/all_bottles.js').KnownBottle[]} */ ([]));
  const typed = values.bottle.value['name'];
  const own = currentPour.value?.bottle ?? '';
  const isTyped = (typed ?? '').length > 1;
  useEffect(() => {
    if (isTyped)
      switching()
        .then(({ bottlesToOffer }) => bottlesToOffer())
        .then(setKnown);
  }, [own, isTyped]);
  const found = suggestBottles(known, typed, own);
  if (!found.length) return null;
  return html`<p class="label" id="offers">${t('pour.noted_before')}</p>
  <ul class="ruled offers" aria-labelledby="offers">${found.map(
    (row) => html`<li key=${row.id} class="offer">
    <${Row} onClick=${() => switching().then(({ useExisting }) => useExisting(row))} name=${wineName(row.fields)}
        line=${[t('pour.same_bottle'), styleName(row.fields['style'])].filter(Boolean).join(' \u00b7 ')} />
    <button type="button" class="button plain" onClick=${() =>
      switching().then(({ useOtherVintage }) => useOtherVintage(row))}>${t('pour.other_vintage')}</button>
  </li>`,
  )}</ul>`;
}

/**
 * Protect the name of a bottle that other notes refer to from accidental edits. The children are
 * the editable field.
 * @param {{ children?: unknown }} props
 */
export function LinkedBottle({ children }) {
  const others = useOtherTastings();
  const isLinked = others.length > 0;
  useEffect(() => {
    if (isLinked) switching();
  }, [isLinked]);
  if (!isLinked) return html`<${FieldSlot} side="tasting" field="bottle">${children}<//>`;
  const latest = others[0]?.fields ?? {};
  const before = t('pour.noted_times', {
    count: others.length,
    date: latest['tasted_at'] ? date(localDateTime(latest['tasted_at'])) : '',
  });
  return html`<${FieldSlot} side="tasting" field="bottle"><div class="known-bottle">
    <p class="covered-name name">
      ${wineName(values.bottle.value)}
    </p>
    <p class="soft small">
      ${[before, latest['liking'] ? t(`liking.${latest['liking']}`) : null].filter(Boolean).join(': ')}
    </p>
    <button type="button" class="button plain" onClick=${() =>
      switching().then(({ detachBottle }) => detachBottle())}>${t('pour.another_bottle')}</button>
  </div><//>`;
}

/** @returns {Row[]} other tastings of the bottle, newest first */
export function useOtherTastings() {
  const pour = currentPour.value;
  const of = useMemo(
    () =>
      liveSignal(
        () => (pour ? tastingsOfBottle(pour.bottle) : Promise.resolve(/** @type {Row[]} */ ([]))),
        /** @type {Row[]} */ ([]),
      ),
    [pour?.bottle],
  );
  return of.value.filter((row) => row.id !== pour?.tasting);
}
