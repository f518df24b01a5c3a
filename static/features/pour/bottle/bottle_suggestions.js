// A name that was noted before is offered as the same bottle, and a bottle taken over shows what was thought of it.
import { html, useEffect, useMemo, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { date } from '../../../lib/format.js';
import { liveSignal, tastingsOfBottle } from '../../../store/queries.js';
import { Held } from '../../../domain/pour/fields.js';
import { inHand, says } from '../../../domain/pour/current_pour.js';
import { bottleName } from '../../../domain/pour/pour_title.js';
import { vintageSaid } from '../../../domain/vintage_text.js';
import { knownBottles, offers, takeAnother, takeOtherVintage, takeSame } from '../../../domain/bottle/match_bottle.js';
import { styleName } from '../../../domain/style_names.js';

/** @typedef {import('../../../store/record.js').Row} Row */

/** Beneath the name line, while it is typed. */
export function BottleOffer() {
  const [known, setKnown] = useState(/** @type {Row[]} */ ([]));
  const typed = says.bottle.value['name'];
  const own = inHand.value?.bottle ?? '';
  const isTyped = (typed ?? '').length > 1;
  useEffect(() => { if (isTyped) knownBottles().then(setKnown); }, [own, isTyped]);
  const found = offers(known, typed, own);
  if (!found.length) return null;
  return html`<ul class="ruled offers" aria-label=${t('pour.noted_before')}>${found.map((row) => html`<li key=${row.id} class="offer">
    <button type="button" class="row" onClick=${() => takeSame(row)}><span class="grow"><span class="name">${[bottleName(row.fields), vintageSaid(row.fields)].filter(Boolean).join(' ')}</span>
      <span class="soft small">${[t('pour.same_bottle'), styleName(row.fields['style'])].filter(Boolean).join(' \u00b7 ')}</span></span></button>
    <button type="button" class="button plain" onClick=${() => takeOtherVintage(row)}>${t('pour.other_vintage')}</button>
  </li>`)}</ul>`;
}

/** The name of a bottle that other notes speak of is not typed over by chance; children are the line where it may be typed. @param {{ children?: unknown }} props */
export function KnownBottle({ children }) {
  const others = useOtherTastings();
  if (!others.length) return html`<${Held} side="tasting" field="bottle">${children}<//>`;
  const latest = others[0]?.fields ?? {};
  const before = t('pour.noted_times', { count: others.length, date: latest['tasted_at'] ? date(latest['tasted_at']) : '' });
  return html`<${Held} side="tasting" field="bottle"><div class="known-bottle">
    <p class="covered-name name">${[bottleName(says.bottle.value), vintageSaid(says.bottle.value)].filter(Boolean).join(' ')}</p>
    <p class="soft small">${[before, latest['liking'] ? t(`liking.${latest['liking']}`) : null].filter(Boolean).join(': ')}</p>
    <button type="button" class="button plain" onClick=${takeAnother}>${t('pour.another_bottle')}</button>
  </div><//>`;
}

/** @returns {Row[]} tastings of the same bottle, the latest first, without the one in hand */
export function useOtherTastings() {
  const hand = inHand.value;
  const of = useMemo(() => liveSignal(() => (hand ? tastingsOfBottle(hand.bottle) : Promise.resolve(/** @type {Row[]} */ ([]))), /** @type {Row[]} */ ([])), [hand?.bottle]);
  return of.value.filter((row) => row.id !== hand?.tasting);
}
