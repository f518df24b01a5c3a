// A hidden label: someone else writes the bottle down and covers it; guesses are locked before it is uncovered.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { abv } from '../../lib/format.js';
import { timestamp } from '../../lib/datetime.js';
import { tastingsOfBottle } from '../../store/queries.js';
import { showToast } from '../../components/layout/toast.js';
import { NumberInput, FieldSlot, TextInput } from '../../domain/pour/fields.js';
import { hasHiddenGlass } from '../../domain/blind/glasses.js';
import { currentPour, isLabelHidden, values, setFields } from '../../domain/pour/current_pour.js';
import { wineName } from '../../domain/bottle_names.js';
import { GuessedVintage, yearTasted } from './guessed_vintage.js';
import { GuessedStyle } from './bottle/style_field.js';
import { styleName, styleOf } from '../../domain/style_names.js';
import { GUESS_FIELDS } from '../../domain/fields.js';

/** The word that covers the label; what stands on the page before it is covered with it. */
export function HideLabel() {
  const cover = () => {
    setFields('tasting', { label_hidden: true, uncovered_at: null });
    if (Object.keys(values.bottle.peek()).length) setFields('bottle', { covered: true });
    showToast(t('pour.covered_now'), () => {
      setFields('tasting', { label_hidden: null });
      if (values.bottle.peek()['covered']) setFields('bottle', { covered: false });
    });
  };
  return html`<${FieldSlot} side="tasting" field="label_hidden">
    <div class="cover"><p class="field-note">${t('pour.cover_note')}</p>
    <button type="button" class="button" onClick=${cover}>${t('pour.cover')}</button></div><//>`;
}

/** A glass of a flight waits for its guesses, so that no glance at one label gives another away. */
function isOfFlight() {
  return Boolean(values.tasting.value['flight_mark']);
}

/** What stands in the place of the label while it is covered. */
export function LabelHidden() {
  const waits = isOfFlight() && !values.tasting.value['guesses_locked_at'];
  return html`<${FieldSlot} side="tasting" field="label_hidden">
    <div class="covered">
    <p class="covered-name name">${t('pour.hidden')}
    </p>
    <p class="field-note">${t(waits ? 'pour.covered_in_flight' : 'pour.covered_note')}
    </p>
    ${!waits && html`<button type="button" class="button plain" onClick=${reveal}>${t('pour.uncover_now')}</button>`}
    </div>
    <//>`;
}

async function reveal() {
  const now = timestamp();
  setFields('tasting', {
    uncovered_at: now,
    ...(values.tasting.peek()['guesses_locked_at'] || !hasGuess() ? {} : { guesses_locked_at: now }),
  });
  const hand = currentPour.peek();
  const others = hand ? (await tastingsOfBottle(hand.bottle)).filter((row) => row.id !== hand.tasting) : [];
  // Another glass of it may still stand hidden in the same flight.
  if (values.bottle.peek()['covered'] && !hasHiddenGlass(others)) setFields('bottle', { covered: false });
}

function hasGuess() {
  return GUESS_FIELDS.some(
    (guess) => values.tasting.peek()[guess] !== null && values.tasting.peek()[guess] !== undefined,
  );
}

/** The guesses of a tasting whose label is or was hidden: open, then locked, then beside what the label says. */
export function GuessForm() {
  const fields = values.tasting.value;
  if (!fields['label_hidden']) return null;
  const locked = Boolean(fields['guesses_locked_at']);
  const unguessed = html`<p class="field-note">${t('pour.guesses_none_locked')}</p>`;
  return html`<section class="guesses"><h2>${t('pour.guesses')}</h2>
    ${locked ? html`<${GuessResults} />` : isLabelHidden.value ? html`<${OpenGuesses} />` : unguessed}
    ${
      isLabelHidden.value &&
      html`<${FieldSlot} side="tasting" field="uncovered_at">
    <button type="button" class="button" disabled=${!locked && (hasGuess() || isOfFlight())} onClick=${reveal}>
      ${t('pour.uncover')}
    </button>
    <//>`
    }
  </section>`;
}

function OpenGuesses() {
  return html`<p class="field-note">${t('pour.guesses_note')}</p>
    <${NumberInput} field="guess_abv" unit=${t('pour.percent')} />
    <div class="pair">
      <${GuessedVintage} /><${NumberInput} field="guess_age_years" unit=${t('pour.years')} />
    </div>
    <${GuessedStyle} /><${TextInput} field="guess_grape" />
    <${FieldSlot} side="tasting" field="guesses_locked_at">
    <button type="button" class="button" disabled=${!hasGuess() && !isOfFlight()}
        onClick=${() => setFields('tasting', { guesses_locked_at: timestamp() })}>
      ${t(hasGuess() || !isOfFlight() ? 'pour.lock_guesses' : 'pour.lock_without')}
    </button>
    <//>`;
}

/** Guess and label side by side; the label's column stays empty until it is uncovered. */
function GuessResults() {
  const { tasting, bottle } = { tasting: values.tasting.value, bottle: isLabelHidden.value ? {} : values.bottle.value };
  const year = yearTasted(tasting);
  const age = bottle['vintage'] && tasting['tasted_at'] ? year - bottle['vintage'] : null;
  const vintage = (/** @type {number} */ count) =>
    t('pour.vintage_and_age', { year: String(Math.round(year - count)), count });
  const shown = (/** @type {number | null | undefined} */ value, /** @type {(value: number) => string} */ format) =>
    value === null || value === undefined ? null : format(value);
  const rows = [
    ['guess_abv', shown(tasting['guess_abv'], abv), shown(bottle['label_abv'], abv)],
    ['guess_age_years', shown(tasting['guess_age_years'], vintage), shown(age, vintage)],
    ['guess_style', styleName(tasting['guess_style']), styleName(bottle['style'])],
    ['guess_grape', tasting['guess_grape'], bottle['grapes'] ?? styleOf(bottle['style'])?.grapes.join(', ')],
  ];
  return html`<table class="answers" key=${currentPour.value?.tasting}>
  <caption>${isLabelHidden.value ? t('pour.guesses_locked') : wineName(bottle)}
  </caption>
    <thead><tr><td></td><th scope="col">${t('pour.guessed')}</th><th scope="col">${t('pour.label_says')}</th></tr>
    </thead>
    <tbody>
      ${rows.map(
        ([guess, said, truth]) => html`<tr key=${guess} data-field=${`tasting.${guess}`}>
      <th scope="row">${t(guess === 'guess_age_years' ? 'pour.guess_vintage' : `field.${guess}`)}
      </th>
      <td>${said ?? '\u2013'}
      </td>
      <td>${truth ?? '\u2013'}
      </td>
      </tr>`,
      )}
    </tbody>
    </table>
    ${!isLabelHidden.value && html`<a class="button plain" href="#/pour/guesses">${t('evening.guesses_link')}</a>`}`;
}
