// What two to four tastings noted, part by part: hues, scales on shared lines, aromas, verdicts.
import hues from '../../spec/hues.json' with { type: 'json' };
import vocabularies from '../../spec/vocabularies.json' with { type: 'json' };
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { SharedDotPlot } from '../../components/chart/shared_dot_plot.js';
import { notedAromas } from '../../rules/tasting/nose.js';
import { swatches } from '../../rules/tasting/swatches.js';
import { gradedFaultText } from '../../domain/faults.js';
import { aromaText } from '../../domain/aroma/chips.js';

/** @typedef {import('./compare_page.js').Side} Side */
/** @typedef {{ sides: Side[] }} Props */

const LONG_FINISH_S = 60;

/** Show the hue of each, or the colour where no hue was noted. @param {Props} props */
export function Hues({ sides }) {
  const seen = sides.flatMap(({ letter, fields }) => {
    const hue = hues.hues.find((each) => each.id === fields['look_hue'])?.id;
    const name = hue ? t(`hue.${hue}`) : fields['look_colour'] && t(`colour.${fields['look_colour']}`);
    return name ? [{ letter, name, swatch: hue && swatches[hue]?.srgb }] : [];
  });
  if (!seen.length) return null;
  return html`<section class="tasting-step">
    <h2>${t(seen.some((each) => each.swatch) ? 'field.look_hue' : 'field.look_colour')}</h2>
    <ul>${seen.map(
      ({ letter, name, swatch }) => html`<li key=${letter} class="side-entry">
        <${Letter} letter=${letter} />
        ${swatch && html`<span class="swatch" style=${{ background: swatch }}></span>`}
        ${name}
      </li>`,
    )}</ul>
  </section>`;
}

/** @param {Props} props a scale that only one of them noted compares nothing */
export function Scales({ sides }) {
  const named = [...vocabularies.vocabularies.scale, 'bitterness', 'balance', 'complexity']
    .map((name) => ({ name, marks: marksOf(sides, name) }))
    .filter((each) => each.marks.length > 1);
  const finish = marksOf(sides, 'finish_s');
  const longest = Math.max(LONG_FINISH_S, ...finish.map((mark) => mark.value));
  if (!named.length && finish.length < 2) return null;
  return html`<section class="tasting-step"><h2>${t('book.side_scales')}</h2>
    ${named.map(
      ({ name, marks }) => html`<${SharedDotPlot} key=${name} label=${t(`scale.${name}`)}
        low=${t(`scale.${name}.low`)} high=${t(`scale.${name}.high`)} marks=${marks} />`,
    )}
    ${
      finish.length > 1 &&
      html`<${SharedDotPlot} label=${t('book.finish')} low=${t('book.seconds', { count: 0 })}
        high=${t('book.seconds', { count: longest })} max=${longest} marks=${finish}
        format=${(/** @type {number} */ value) => t('book.seconds', { count: Math.round(value) })} />`
    }
  </section>`;
}

/** Texture of the tannin, and faults. @param {Props} props */
export function Facts({ sides }) {
  const said = (/** @type {string} */ field, /** @type {(fields: Side['fields']) => unknown} */ read) => ({
    field,
    values: sides.flatMap(({ letter, fields }) => (read(fields) ? [{ letter, text: read(fields) }] : [])),
  });
  const facts = [
    said('tannin_texture', ({ tannin_texture }) => tannin_texture && t(`tannin_texture.${tannin_texture}`)),
    said('faults', gradedFaultText),
  ].filter((fact) => fact.values.length > 0);
  return facts.map(
    ({ field, values }) => html`<section class="tasting-step" key=${field}><h2>${t(`field.${field}`)}</h2>
      ${values.map(
        ({ letter, text }) => html`<p class="side-entry" key=${letter}><${Letter} letter=${letter} />${text}</p>`,
      )}
    </section>`,
  );
}

/** Show the aromas of all of them first, those of one alone last. @param {Props} props */
export function Aromas({ sides }) {
  const noted = sides.map(({ letter, fields }) => ({ letter, words: notedAromas(fields) }));
  /** @type {Map<string, string[]>} */
  const groups = new Map();
  for (const word of new Set(noted.flatMap(({ words }) => [...words.keys()]))) {
    const holders = noted
      .filter(({ words }) => words.has(word))
      .map(({ letter }) => letter)
      .join('');
    groups.set(holders, [...(groups.get(holders) ?? []), aromaText(word)]);
  }
  const ordered = [...groups].sort(([a], [b]) => b.length - a.length || (a < b ? -1 : 1));
  if (!ordered.length) return null;
  return html`<section class="tasting-step"><h2>${t('book.side_aromas')}</h2><dl>${ordered.map(
    ([holders, words]) => html`<div key=${holders} class="side-entry">
      <dt>${
        holders.length === sides.length
          ? t(sides.length === 2 ? 'book.side_in_both' : 'book.side_in_all')
          : [...holders].map((letter) => html`<${Letter} letter=${letter} />`)
      }</dt>
      <dd class="name-list">${words.join(', ')}</dd>
    </div>`,
  )}</dl></section>`;
}

/** @param {Props} props */
export function Verdicts({ sides }) {
  const marks = marksOf(sides, 'liking');
  const worded = sides.filter(({ fields }) => fields['words']);
  if (marks.length < 2 && !worded.length) return null;
  return html`<section class="tasting-step"><h2>${t('book.step_verdict')}</h2>
    ${
      marks.length > 1 &&
      html`<${SharedDotPlot} label=${t('book.liking')} low=${t('liking.1')} high=${t('liking.9')}
        min=${1} max=${9} marks=${marks} format=${(/** @type {number} */ value) => t(`liking.${value}`)} />`
    }
    ${worded.map(
      ({ letter, fields }) => html`<p class="side-entry" key=${letter}>
        <${Letter} letter=${letter} />
        <span class="name-list">${fields['words']}</span>
      </p>`,
    )}
  </section>`;
}

/** @param {{ letter: string }} props */
function Letter({ letter }) {
  return html`<span class="lettered still">${letter}</span>`;
}

/** @param {Side[]} sides @param {string} field */
function marksOf(sides, field) {
  return sides.flatMap(({ letter, fields }) =>
    typeof fields[field] === 'number' ? [{ letter, value: fields[field] }] : [],
  );
}
