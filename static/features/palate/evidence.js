// Evidence behind a number: its parts and the tastings, with links.
import { html, signal, useEffect, useState } from '../../lib/ui.js';
import { bottlesByIds, tasting } from '../../store/queries.js';
import { localDateTime } from '../../lib/datetime.js';
import { date } from '../../lib/format.js';
import { Sheet } from '../../components/layout/sheet.js';
import { t } from '../../i18n.js';
import { bottleName, resolveBottle } from '../../domain/bottle_names.js';

/** @typedef {import('../../store/record.js').Row} Row */
/**
 * @typedef {Object} Evidence
 * @property {string} title
 * @property {string[]} sentences
 * @property {{ id: string, figure?: string }[]} tastings newest first
 * @property {number} [count] of all tastings, if the list has the newest only
 * @property {string} [column] heading of the figures
 */

const PAGE_SIZE = 30;

/** @type {import('../../lib/ui.js').Signal<Evidence | null>} */
const opened = signal(/** @type {Evidence | null} */ (null));

/** @param {Evidence} evidence */
export function openEvidence(evidence) {
  opened.value = evidence;
}

export function EvidenceSheet() {
  const evidence = opened.value;
  useEffect(
    () => () => {
      opened.value = null;
    },
    [],
  );
  return html`<${Sheet} title=${evidence?.title ?? ''} open=${evidence !== null} onClose=${() => {
    opened.value = null;
  }}>
    ${evidence && html`<${EvidenceDialog} key=${evidence.title} evidence=${evidence} />`}
  <//>`;
}

/** @param {{ evidence: Evidence }} props */
function EvidenceDialog({ evidence: { sentences, tastings, column, count = tastings.length } }) {
  const [shown, setShown] = useState(PAGE_SIZE);
  const [found, setFound] = useState(/** @type {Found | null} */ (null));
  useEffect(() => {
    let left = false;
    load(tastings.slice(0, shown).map(({ id }) => id)).then((rows) => {
      if (!left) setFound(rows);
    });
    return () => {
      left = true;
    };
  }, [tastings, shown]);
  return html`${sentences.map((sentence) => html`<p class="evidence-text">${sentence}</p>`)}
    <h3>${headingText(tastings.length, count)}</h3>
    ${
      found &&
      tastings.length > 0 &&
      html`<table class="evidence">
      <thead><tr><th scope="col">${t('palate.evidence_wine')}</th>${
        column &&
        html`<th scope="col" class="figure">
        ${column}
      </th>`
      }<th scope="col" class="figure">${t('palate.evidence_liking')}</th></tr></thead>
      <tbody>${tastings.slice(0, shown).map(
        ({ id, figure }) => html`<${EvidenceRow} key=${id} id=${id}
          figure=${column ? (figure ?? '') : undefined} found=${found} />`,
      )}
      </tbody>
    </table>`
    }
    ${
      tastings.length > shown &&
      html`<button type="button" class="button plain"
        onClick=${() => setShown(shown + PAGE_SIZE)}>
      ${t('palate.evidence_more')}
    </button>`
    }`;
}

/** @param {number} listed @param {number} count of all */
function headingText(listed, count) {
  if (listed === 0) return t('palate.evidence_none');
  return count > listed ? t('palate.evidence_newest', { count, listed }) : t('palate.evidence_n', { count: listed });
}

/** @typedef {{ tastings: Map<string, Row>, bottles: Map<string, Row> }} Found */

/** @param {string[]} ids @returns {Promise<Found>} */
async function load(ids) {
  const rows = (await Promise.all(ids.map(tasting))).filter((row) => row !== undefined);
  return {
    tastings: new Map(rows.map((row) => [row.id, row])),
    bottles: await bottlesByIds(rows.map((row) => row.fields['bottle'])),
  };
}

/** @param {{ id: string, figure: string | undefined, found: Found }} props */
function EvidenceRow({ id, figure, found }) {
  const row = found.tastings.get(id);
  const when = row?.fields['tasted_at'];
  return html`<tr>
    <th scope="row">
      <a href=${`#/book/${id}`}>
      <span class="name">
        ${row ? bottleName(resolveBottle(found.bottles, row.fields['bottle'])) : t('palate.evidence_gone')}
      </span>
      ${
        when &&
        html`<span class="soft small">${[date(localDateTime(when)), row?.fields['example'] && t('app.sample')]
          .filter(Boolean)
          .join(' \u00b7 ')}</span>`
      }</a></th>
    ${figure !== undefined && html`<td class="figure">${figure}</td>`}
    <td class="figure">${row?.fields['liking'] ?? '\u2013'}</td>
  </tr>`;
}
