// Stores the result of a triangle test in a visit: the current one, or one of its own.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { number } from '../../lib/format.js';
import { timestamp, today } from '../../lib/datetime.js';
import { visit as readVisit } from '../../store/queries.js';
import { newId, save } from '../../store/write.js';
import { discrimination } from '../../rules/stats/discrimination.js';
import { pText } from '../p_text.js';
import { runningVisit } from '../pour/visits.js';

/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {{ trials: number, correct: number }} Score */

const HUNDRED = 100;
const MAX_LENGTH = 250;

/**
 * Return the visit for a new triangle test. A visit has at most one; further ones get a visit of
 * their own.
 * @returns {Promise<string>} the visit's id; the visit may not exist yet
 */
export async function visitForTriangle() {
  const running = await runningVisit();
  return running && !isTriangle(running.fields) ? running.id : newId();
}

/**
 * Save the result; saving it again changes nothing.
 * @param {string} id
 * @param {{ names: (string | null)[], score: Score }} triangle
 */
export async function saveTriangle(id, { names, score }) {
  const existing = await readVisit(id);
  const wines = names.filter(Boolean).join(' / ').slice(0, MAX_LENGTH) || null;
  const own = existing ? {} : { name: t('evening.triangle'), on: today(), ended_at: timestamp() };
  await save('visit', id, {
    ...own,
    triangle_wines: wines,
    triangle_rounds: score.trials,
    triangle_found: score.correct,
  });
}

/** @param {Fields} visit */
export function isTriangle(visit) {
  return typeof visit['triangle_rounds'] === 'number' && typeof visit['triangle_found'] === 'number';
}

/** Show the result as text, with the exact probability. @param {{ score: Score }} props */
export function TriangleResult({ score: { trials, correct } }) {
  const { p, reading, needed } = discrimination('triangle', correct, trials);
  return html`<p class="name triangle-score">${t('evening.triangle_score', { correct, trials })}
  </p>
  <p class="voice">${t(`evening.triangle_${reading}`)}
  </p>
    <p>
      ${t('evening.triangle_chance', {
        correct,
        hundred: p * HUNDRED < 1 ? t('evening.under_one') : number(p * HUNDRED, 0),
        p: pText(p, '= '),
      })}
    </p>
    ${needed !== null && html`<p class="soft small">${t('evening.triangle_needed', { needed, trials })}</p>`}`;
}

/** Show the result on the page of its visit. @param {{ visit: Fields }} props */
export function VisitTriangle({ visit }) {
  if (!isTriangle(visit)) return null;
  return html`<section class="blind-part">
  <h2>${t('evening.triangle')}
  </h2>
  ${visit['triangle_wines'] && html`<p>${visit['triangle_wines']}</p>`}
    <${TriangleResult} score=${{ trials: visit['triangle_rounds'], correct: visit['triangle_found'] }} />
    <p class="field-note">${t('evening.triangle_source')}
    </p>
    </section>`;
}
