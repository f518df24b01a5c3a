// Two to four tastings side by side: every scale on one ruled line, the aromas they share and those of one alone, the
// verdicts.
import { html, useEffect, useMemo, useState } from '../../../lib/ui.js';
import { navigate } from '../../../router.js';
import { date } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import vocabularies from '../../../spec/vocabularies.json' with { type: 'json' };
import { Page } from '../../shell/page.js';
import { SharedDotPlot } from '../../../components/chart/shared_dot_plot.js';
import { bottlesByIds, liveSignal, tasting as readTasting } from '../../../store/queries.js';
import { parseAromas } from '../../../domain/aroma_text.js';
import { ComparePicker } from './compare_picker.js';
import { bottleLine, bottleName, resolveBottle } from '../../../domain/bottle_names.js';
import { LikingValue, localDateTime } from '../../../domain/list_rows.js';
import { AROMA_FIELDS } from '../../../rules/tasting/aroma_fields.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {{ letter: string, tasting: Row, bottle: Row | null }} Side */

const LETTERS = 'ABCD';
const LONG_FINISH_S = 60;

/** @param {string[]} ids @returns {Promise<Side[]>} */
async function readSides(ids) {
  const rows = (await Promise.all(ids.slice(0, LETTERS.length).map(readTasting))).flatMap((row) =>
    row && !row.gone ? [row] : [],
  );
  const bottles = await bottlesByIds(rows.map((row) => row.fields['bottle']));
  return rows.map((tasting, at) => ({
    letter: /** @type {string} */ (LETTERS[at]),
    tasting,
    bottle: resolveBottle(bottles, tasting.fields['bottle']),
  }));
}

/** @param {{ ids: string[] }} props */
export function BookComparePage({ ids }) {
  const sides = useMemo(() => liveSignal(() => readSides(ids), /** @type {Side[]} */ ([])), [ids.join(' ')]).value;
  const [choosing, setChoosing] = useState(false);
  useEffect(() => {
    setChoosing(false);
  }, [ids.length]);
  const without = (/** @type {string} */ id) =>
    navigate(`/book/side/${ids.filter((each) => each !== id).join('/')}`, { replace: true });
  return html`<${Page} title=${t('book.side_title')} back=${`/book/${ids[0] ?? ''}`}>
    <ul class="ruled">${sides.map(
      ({ letter, tasting, bottle }) => html`<li key=${tasting.id} class="side-head">
      <span class="lettered still" aria-hidden="true">${letter}
      </span>
      <a class="ledger-what side-name" href=${`#/book/${tasting.id}`}>
      <span class="name">${bottleName(bottle)}
      </span>
      <span class="soft small">
        ${[tasting.fields['tasted_at'] && date(localDateTime(tasting.fields['tasted_at'])), bottleLine(bottle)]
          .filter(Boolean)
          .join(' \u00b7 ')}
      </span>
      </a>
      <${LikingValue} liking=${tasting.fields['liking']} />
      ${
        sides.length > 2 &&
        html`<button type="button" class="button plain"
          aria-label=${t('book.side_without', { name: bottleName(bottle) })} onClick=${() => without(tasting.id)}>
        ${'\u00d7'}
      </button>`
      }
      </li>`,
    )}</ul>
    ${
      ids.length < LETTERS.length &&
      html`<button type="button" class="button plain diary-more"
        onClick=${() => setChoosing(true)}>
      ${t('book.side_more')}
    </button>`
    }
    ${sides.length > 1 && html`<${Scales} sides=${sides} /><${Aromas} sides=${sides} /><${Verdicts} sides=${sides} />`}
    <${ComparePicker} open=${choosing} onClose=${() => setChoosing(false)} ids=${ids} />
  <//>`;
}

/** @param {{ sides: Side[] }} props */
function Scales({ sides }) {
  const marks = (/** @type {string} */ field) =>
    sides.flatMap(({ letter, tasting }) =>
      typeof tasting.fields[field] === 'number' ? [{ letter, value: tasting.fields[field] }] : [],
    );
  const named = [...vocabularies.vocabularies.scale, 'balance', 'complexity']
    .map((name) => ({ name, marks: marks(name) }))
    .filter((each) => each.marks.length);
  const finish = marks('finish_s');
  return html`<section class="diary-step"><h2>${t('book.side_scales')}</h2>
    ${named.map(
      (each) => html`<${SharedDotPlot} key=${each.name} label=${t(`scale.${each.name}`)}
        low=${t(`scale.${each.name}.low`)} high=${t(`scale.${each.name}.high`)} marks=${each.marks} />`,
    )}
    ${
      finish.length > 0 &&
      html`<${SharedDotPlot} label=${t('book.finish')} low=${t('book.seconds', { count: 0 })}
        high=${t('book.seconds', { count: Math.max(LONG_FINISH_S, ...finish.map((mark) => mark.value)) })}
        max=${Math.max(LONG_FINISH_S, ...finish.map((mark) => mark.value))} marks=${finish}
        said=${(/** @type {number} */ value) => t('book.seconds', { count: Math.round(value) })} />`
    }
  </section>`;
}

/** @param {{ sides: Side[] }} props */
function Aromas({ sides }) {
  const noted = sides.map(({ letter, tasting }) => ({
    letter,
    words: new Map(
      AROMA_FIELDS.flatMap((name) => parseAromas(tasting.fields[name])).map((each) => [each.id, each.text]),
    ),
  }));
  const all = [...new Map(noted.flatMap(({ words }) => [...words])).entries()];
  const holders = (/** @type {string} */ id) =>
    noted
      .filter(({ words }) => words.has(id))
      .map(({ letter }) => letter)
      .join('');
  const groups = [...new Set(all.map(([id]) => holders(id)))].sort((a, b) => b.length - a.length || (a < b ? -1 : 1));
  if (!groups.length) return null;
  return html`<section class="diary-step"><h2>${t('book.side_aromas')}</h2><dl class="facts">${groups.map(
    (group) => html`<div key=${group}>
      <dt>${
        group.length === sides.length
          ? t(sides.length === 2 ? 'book.side_in_both' : 'book.side_in_all')
          : [...group].map(
              (letter) => html`<span
          class="lettered still small">
      ${letter}
    </span>`,
            )
      }</dt>
    <dd class="name-list">${all
      .filter(([id]) => holders(id) === group)
      .map(([, text]) => text)
      .join(', ')}</dd></div>`,
  )}</dl></section>`;
}

/** @param {{ sides: Side[] }} props */
function Verdicts({ sides }) {
  const marks = sides.flatMap(({ letter, tasting }) =>
    tasting.fields['liking'] ? [{ letter, value: tasting.fields['liking'] }] : [],
  );
  return html`<section class="diary-step"><h2>${t('book.step_verdict')}</h2>
    ${
      marks.length > 0 &&
      html`<${SharedDotPlot} label=${t('book.liking')} low=${t('liking.1')} high=${t('liking.9')}
        min=${1} max=${9} marks=${marks} said=${(/** @type {number} */ value) => t(`liking.${value}`)} />`
    }
    ${sides.map(
      ({ letter, tasting }) =>
        tasting.fields['words'] &&
        html`<p class="side-words" key=${letter}>
    <span class="lettered still">${letter}
    </span>
    <span class="name-list">${tasting.fields['words']}
    </span>
    </p>`,
    )}
    </section>`;
}
