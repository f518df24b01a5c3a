// A year typed in the name: moves it to the vintage if it is surely one, and offers to otherwise.
import { html, signal, useEffect } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { plainText } from '../../../lib/plain_text.js';
import { vintageInName } from '../../../rules/label/vintage_in_name.js';
import { allBottles } from '../../../domain/bottle/match_bottle.js';
import { currentPour, isFinished, setFields, values } from '../../../domain/pour/current_pour.js';

/** The last move, which can be undone. */
const moved = signal(/** @type {{ bottle: string, typed: string, name: string, vintage: number } | null} */ (null));

/** Names that the user wants as they typed them, as `bottle/name`. @type {Set<string>} */
const settled = new Set();

/** Move the year to the vintage, unless it may belong to the name. */
export async function moveYear() {
  const pour = currentPour.peek();
  const found = yearInName(values.bottle.peek());
  const typed = values.bottle.peek()['name'];
  if (!pour || !found?.sure || isFinished.peek() || settled.has(`${pour.bottle}/${typed}`)) return;
  const same = plainText(typed).trim();
  const known = await allBottles();
  if (known.some(({ id, fields }) => id !== pour.bottle && plainText(fields['name'] ?? '').trim() === same)) return;
  // The name may have been edited while the bottles were read.
  if (values.bottle.peek()['name'] === typed && currentPour.peek()?.bottle === pour.bottle) move(typed, found);
}

/** @param {Record<string, any>} bottle */
function yearInName({ name, vintage, non_vintage }) {
  return name && !vintage && !non_vintage ? vintageInName(name, new Date().getFullYear()) : null;
}

/** @param {string} typed @param {import('../../../rules/label/vintage_in_name.js').Found} found */
function move(typed, { name, vintage }) {
  setFields('bottle', { name, vintage });
  moved.value = { bottle: currentPour.peek()?.bottle ?? '', typed, name, vintage };
}

/** @param {{ attempt: number }} props how often the name field was left */
export function NameYear({ attempt }) {
  useEffect(() => {
    moveYear();
  }, [attempt]);
  const bottle = values.bottle.value;
  const last = moved.value;
  if (
    last?.bottle === currentPour.value?.bottle &&
    last?.name === bottle['name'] &&
    last?.vintage === bottle['vintage']
  )
    return html`<p class="field-note year-moved" role="status">
      <span>${t('pour.year_moved', { year: String(last?.vintage) })}</span>
      <button type="button" class="button plain" onClick=${undo}>${t('pour.year_back')}</button>
    </p>`;
  const found = yearInName(bottle);
  return (
    found &&
    html`<p class="year-moved">
      <button type="button" class="choice" onClick=${() => move(bottle['name'], found)}>
        ${t('pour.year_offer', { year: String(found.vintage) })}
      </button>
    </p>`
  );
}

function undo() {
  const last = moved.peek();
  if (!last) return;
  settled.add(`${last.bottle}/${last.typed}`);
  moved.value = null;
  setFields('bottle', { name: last.typed, vintage: null });
}
