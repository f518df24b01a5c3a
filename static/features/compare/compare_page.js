// Two to four pours side by side: on each line a lettered bead for each of them, and the words that they share or have
// alone.
import hues from '../../spec/hues.json' with { type: 'json' };
import { swatches } from '../../rules/tasting/swatches.js';
import vocabularies from '../../spec/vocabularies.json' with { type: 'json' };
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { date, list, number } from '../../lib/format.js';
import { bottlesByIds, liveSignal, tasting } from '../../store/queries.js';
import { LetteredDotPlot } from '../../components/chart/lettered_dot_plot.js';
import { notedAromas } from '../../rules/tasting/nose.js';
import { Page } from '../shell/page.js';
import { aromaText } from '../../domain/aroma/chips.js';
import { glassLetter } from '../../domain/blind/shuffle.js';
import { isLabelHidden } from '../../domain/blind/glasses.js';
import { MAX_COMPARED } from '../../domain/compare_limit.js';
import { pourName } from '../../domain/pour/pour_name.js';

/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {{ letter: string, name: string, fields: Record<string, any>, covered: boolean, id: string }} Beside */

/** @param {string[]} ids @returns {Promise<Beside[]>} */
async function readThem(ids) {
  const rows = (await Promise.all(ids.map(tasting))).filter((row) => row !== undefined && !row.gone);
  const there = /** @type {Row[]} */ (rows);
  const bottles = await bottlesByIds(there.map((row) => row.fields['bottle']));
  return there.map((row, index) => ({
    id: row.id,
    letter: glassLetter(index),
    name: pourName(row, bottles),
    fields: row.fields,
    covered: isLabelHidden(row),
  }));
}

/** @param {{ query: URLSearchParams }} props */
export function ComparePage({ query }) {
  const asked = query.get('of') ?? '';
  const pours = useMemo(
    () =>
      liveSignal(() => readThem(asked.split(',').filter(Boolean).slice(0, MAX_COMPARED)), /** @type {Beside[]} */ ([])),
    [asked],
  ).value;
  const visit = pours[0]?.fields['visit'];
  return html`<${Page} title=${t('evening.side')} back=${visit ? `/pour/visit/${visit}` : '/pour/evening'} aside="">
    <ul class="ruled side-names">${pours.map(
      ({ id, letter, name, fields }) => html`<li key=${id}>
        <a class="row" href=${`#/book/${id}`}>
        <span class="glass-mark">${letter}
        </span>
        <span class="grow"><span class="name">${name}</span>
      <span class="soft small">${fields['tasted_at'] ? date(fields['tasted_at'].slice(0, 19)) : ''}</span></span></a>
      </li>`,
    )}</ul>
    <${Hues} pours=${pours} />
    <${Measure} pours=${pours} field="liking" label=${t('field.liking')} min=${1} max=${9}
        ends=${[t('liking.1'), t('liking.9')]} />
    ${[...vocabularies.vocabularies.scale, 'balance', 'complexity'].map(
      (scale) => html`<${Measure} key=${scale}
        pours=${pours} field=${scale} label=${t(`scale.${scale}`)} min=${0} max=${10}
        ends=${[t(`scale.${scale}.low`), t(`scale.${scale}.high`)]} />`,
    )}
    <${Finish} pours=${pours} />
    <${Words} pours=${pours} />
  <//>`;
}

/** @param {{ pours: Beside[] }} props */
function Hues({ pours }) {
  const seen = pours.flatMap(({ letter, fields }) => {
    const hue = hues.hues.find((each) => each.id === fields['look_hue']);
    return hue ? [{ letter, hue }] : [];
  });
  if (!seen.length) return null;
  return html`<section class="side-part">
  <h2>${t('field.look_hue')}
  </h2>
  <ul>
    ${seen.map(
      ({ letter, hue }) => html`<li key=${letter} class="side-hue">
    <span class="glass-mark">${letter}
    </span>
    <span class="swatch" style=${{ background: swatches[hue.id]?.srgb }}>
    </span>
    ${t(`hue.${hue.id}`)}
    </li>`,
    )}
  </ul>
  </section>`;
}

/**
 * @param {{ pours: Beside[], field: string, label: string, min: number, max: number, ends?: string[], unit?: string
 *   }} props
 */
function Measure({ pours, field, label, min, max, ends = [], unit = '' }) {
  const marks = pours.flatMap(({ letter, fields }) =>
    typeof fields[field] === 'number' ? [{ letter, value: fields[field] }] : [],
  );
  if (marks.length < 2) return null;
  return html`<section class="side-part">
  <h2>${label}
  </h2>
  <p class="unseen">${marks.map(({ letter, value }) => `${letter} ${number(value)}${unit}`).join(', ')}
  </p>
    <div class="side-line"><${LetteredDotPlot} min=${min} max=${max} marks=${marks} /></div>
    ${
      ends.length > 0 &&
      html`<div class="scale-ends" aria-hidden="true"><span>${ends[0]}</span><span>${ends[1]}</span>
    </div>`
    }
    </section>`;
}

/** @param {{ pours: Beside[] }} props */
function Finish({ pours }) {
  const longest = Math.max(30, ...pours.map(({ fields }) => fields['finish_s'] ?? 0));
  const seconds = t('pour.seconds');
  return html`<${Measure} pours=${pours} field="finish_s" label=${t('pour.finish')} min=${0} max=${longest}
      unit=${` ${seconds}`} ends=${[`0 ${seconds}`, `${number(longest, 0)} ${seconds}`]} />`;
}

/** @param {{ pours: Beside[] }} props */
function Words({ pours }) {
  const noted = pours
    .map((pour) => ({ ...pour, words: [...notedAromas(pour.fields).keys()] }))
    .filter(({ words }) => words.length);
  if (!noted.length) return null;
  const all = [...new Set(noted.flatMap(({ words }) => words))];
  const shared = noted.length > 1 ? all.filter((word) => noted.every(({ words }) => words.includes(word))) : [];
  const said = (/** @type {string[]} */ words) => list(words.map(aromaText));
  return html`<section class="side-part"><h2>${t('evening.side_words')}</h2>
    ${shared.length > 0 && html`<p>${t(noted.length > 2 ? 'evening.side_shared' : 'evening.side_shared_both', { words: said(shared) })}</p>`}
    <ul>${noted.map(({ letter, words }) => {
      const own = words.filter((word) => !shared.includes(word));
      return html`<li key=${letter} class="side-words">
      <span class="glass-mark">${letter}
      </span>
      <span>${own.length ? said(own) : t('evening.side_none_alone')}
      </span>
      </li>`;
    })}</ul></section>`;
}
