// Two to four tastings side by side, from the Book or from a visit: the names, and beneath them what was noted.
import { html, useEffect, useMemo, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { localDateTime } from '../../lib/datetime.js';
import { date } from '../../lib/format.js';
import { navigate } from '../../router.js';
import { bottlesByIds, liveSignal, tasting as readTasting } from '../../store/queries.js';
import { NameAndLine } from '../../components/layout/row.js';
import { isLabelHidden } from '../../domain/blind/glasses.js';
import { glassLetter } from '../../domain/blind/shuffle.js';
import { bottleLine, pourName, resolveBottle } from '../../domain/bottle_names.js';
import { MAX_COMPARED } from '../../domain/compare_limit.js';
import { LikingValue } from '../../domain/tasting_row.js';
import { Page } from '../shell/page.js';
import { addressInBook, ComparePicker } from './compare_picker.js';
import { Aromas, Facts, Hues, Scales, Verdicts } from './compare_parts.js';

/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {{ letter: string, id: string, name: string, line: string, fields: Fields }} Side */

/** @param {string[]} ids @returns {Promise<Side[]>} */
async function readSides(ids) {
  const rows = (await Promise.all(ids.slice(0, MAX_COMPARED).map(readTasting))).flatMap((row) =>
    row && !row.gone ? [row] : [],
  );
  const bottles = await bottlesByIds(rows.map((row) => row.fields['bottle']));
  return rows.map((row, at) => {
    const { tasted_at, bottle } = row.fields;
    const line = [
      tasted_at && date(localDateTime(tasted_at)),
      !isLabelHidden(row) && bottleLine(resolveBottle(bottles, bottle)),
    ];
    return {
      letter: glassLetter(at),
      id: row.id,
      name: pourName(row, bottles),
      line: line.filter(Boolean).join(' \u00b7 '),
      fields: row.fields,
    };
  });
}

/** Show the page of `#/book/side/ID/ID`. @param {{ ids: string[] }} props */
export function BookComparePage({ ids }) {
  return html`<${ComparePage} ids=${ids} back=${() => `/book/${ids[0] ?? ''}`}
      addressOf=${addressInBook} />`;
}

/** Show the page of `#/pour/side?of=ID,ID`. @param {{ query: URLSearchParams }} props */
export function PourComparePage({ query }) {
  const back = (/** @type {Side | undefined} */ first) =>
    first?.fields['visit'] ? `/pour/visit/${first.fields['visit']}` : '/pour/evening';
  return html`<${ComparePage} ids=${(query.get('of') ?? '').split(',').filter(Boolean)} back=${back}
      addressOf=${(/** @type {string[]} */ chosen) => `/pour/side?of=${chosen.join(',')}`} />`;
}

/**
 * @param {{ ids: string[], back: (first: Side | undefined) => string, addressOf: (ids: string[]) => string }} props
 */
function ComparePage({ ids, back, addressOf }) {
  const sides = useMemo(() => liveSignal(() => readSides(ids), /** @type {Side[]} */ ([])), [ids.join(' ')]).value;
  const [choosing, setChoosing] = useState(false);
  useEffect(() => {
    setChoosing(false);
  }, [ids.length]);
  const remove = (/** @type {string} */ id) =>
    navigate(addressOf(ids.filter((each) => each !== id)), { replace: true });
  return html`<${Page} title=${t('book.side_title')} back=${back(sides[0])}>
    <ul class="ruled" aria-label=${t('book.side_list')}>${sides.map(
      (side) => html`<${Head} key=${side.id} side=${side}
      onRemove=${sides.length > 2 ? () => remove(side.id) : null} />`,
    )}</ul>
    ${
      ids.length < MAX_COMPARED &&
      html`<button type="button" class="button plain tasting-more"
        onClick=${() => setChoosing(true)}>
      ${t('book.side_more')}
    </button>`
    }
    ${
      sides.length > 1 &&
      html`<${Hues} sides=${sides} /><${Scales} sides=${sides} /><${Facts} sides=${sides} /><${Aromas} sides=${sides} />
      <${Verdicts} sides=${sides} />`
    }
    <${ComparePicker} open=${choosing} onClose=${() => setChoosing(false)} ids=${ids} addressOf=${addressOf} />
  <//>`;
}

/** @param {{ side: Side, onRemove: (() => void) | null }} props */
function Head({ side: { id, letter, name, line, fields }, onRemove }) {
  return html`<li class="side-head">
    <span class="lettered still" aria-hidden="true">${letter}</span>
    <a class="row-text side-name" href=${`#/book/${id}`}><${NameAndLine} name=${name} line=${line} /></a>
    <${LikingValue} liking=${fields['liking']} />
    ${
      onRemove &&
      html`<button type="button" class="button plain" aria-label=${t('book.side_without', { name })}
        onClick=${onRemove}>
      ${'\u00d7'}
    </button>`
    }
  </li>`;
}
