// Whose taste lies close to whose: guests drawn by the distances of their likings.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { number, percent } from '../../lib/format.js';
import { isMisleading } from './flat_map.js';
import { labelPlaces } from './label_places.js';
import { figure, Figures } from './results_view.js';

const SIZE = 300;
const EDGE = 36;
/** Letters of a name in the drawing. */
const LONGEST = 16;
/** More names than these cover each other; numbers then stand for them. */
const MOST_NAMED = 8;

/**
 * @param {{ tastes: import('../../rules/table/table_summary.js').TasteMap, guest: (id: string) => string }} props
 */
export function TasteMap({ tastes, guest }) {
  if (tastes.status !== 'drawn')
    return html`<section class="table-part"><h2>${t('table.tastes')}</h2>
    <p class="soft">${t(`table.tastes_${tastes.status}`)}</p></section>`;
  const pairs = tastes.closest.flatMap(({ guest: id, closest, distance }) =>
    closest === null || distance === null ? [] : [{ id, closest, distance }],
  );
  const figures = [
    ...(tastes.shown === null ? [] : [figure('fig_scaling', percent(tastes.shown))]),
    ...pairs.map(({ id, closest, distance }) => ({
      name: t('table.fig_distance', { name: guest(id), closest: guest(closest) }),
      value: number(distance, 2),
    })),
  ];
  return html`<section class="table-part"><h2>${t('table.tastes')}</h2>
    <p>${t('table.tastes_note')}</p>
    <${Drawing} layout=${tastes.layout} guest=${guest} />
    ${isMisleading(tastes) && html`<p class="soft small">${t('table.tastes_flat')}</p>`}
    <ul class="ruled">${pairs.map(
      ({ id, closest }) => html`<li key=${id} class="table-aroma"><span class="grow">
      ${t('table.closest_to', { name: guest(id), closest: guest(closest) })}</span></li>`,
    )}</ul>
    <${Figures} note=${t('table.fig_tastes')} figures=${figures} /></section>`;
}

/** Return the first name alone if the whole does not fit; the list below has it whole. @param {string} name */
function shortName(name) {
  const first = name.length > LONGEST ? (name.split(/\s/)[0] ?? '') : name;
  return first.length > LONGEST ? `${first.slice(0, LONGEST - 1)}\u2026` : first;
}

/**
 * Draw the map with the same unit on both axes, because only distances mean something.
 * @param {{ layout: { guest: string, x: number, y: number }[], guest: (id: string) => string }} props
 */
function Drawing({ layout, guest }) {
  const reach = Math.max(0.5, ...layout.flatMap(({ x, y }) => [Math.abs(x), Math.abs(y)]));
  const at = (/** @type {number} */ value) => SIZE / 2 + (value / reach) * (SIZE / 2 - EDGE);
  const isNumbered = layout.length > MOST_NAMED;
  const points = layout.map(({ guest: id, x, y }, index) => {
    const text = isNumbered ? String(index + 1) : shortName(guest(id));
    return { id, x: at(x), y: at(-y), text };
  });
  const places = labelPlaces(points, SIZE);
  // Who is near whom is in the list below.
  const label = layout.map(({ guest: id }) => guest(id)).join(', ');
  return html`<svg class="taste-map" viewBox=${`0 0 ${SIZE} ${SIZE}`} role="img"
      aria-label=${t('table.tastes_drawing', { names: label })}>
    ${points.map(({ id, x, y, text }, index) => {
      const place = places[index];
      return html`<g key=${id}><circle cx=${x} cy=${y} r="5" />
        <text x=${place?.x} y=${place?.y} text-anchor=${place?.anchor}>${text}</text></g>`;
    })}</svg>
    ${
      isNumbered &&
      html`<ol class="taste-names">${points.map(
        ({ id, text }) => html`<li key=${id}><span class="figure">${text}</span> ${guest(id)}</li>`,
      )}</ol>`
    }`;
}
