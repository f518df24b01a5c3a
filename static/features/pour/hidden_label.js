// Blind tasting: somebody else enters the bottle and hides the label; guesses are locked before it
// is revealed.
import { html, useMemo } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { abv } from '../../lib/format.js';
import { timestamp } from '../../lib/datetime.js';
import { liveSignal, tastingsOfBottle } from '../../store/queries.js';
import { showToast } from '../../components/layout/toast.js';
import { NumberInput, FieldSlot, TextInput } from '../../domain/pour/fields.js';
import { hasHiddenGlass } from '../../domain/blind/glasses.js';
import { currentPour, isLabelHidden, values, setFields } from '../../domain/pour/current_pour.js';
import { wineName } from '../../domain/bottle_names.js';
import { GuessedVintage, yearTasted } from './guessed_vintage.js';
import { GuessedStyle } from './bottle/style_field.js';
import { grapesText, styleName } from '../../domain/style_names.js';
import { GUESS_FIELDS } from '../../domain/fields.js';
import { guessName } from '../../domain/tasting/field_text.js';

/** Show the button that hides the label and the bottle's fields on the page. */
export function HideLabel() {
  const hideLabel = () => {
    setFields('tasting', { label_hidden: true, uncovered_at: null });
    if (Object.keys(values.bottle.peek()).length) setFields('bottle', { covered: true });
    showToast(t('pour.covered_now'), () => {
      setFields('tasting', { label_hidden: null });
      if (values.bottle.peek()['covered']) setFields('bottle', { covered: false });
    });
  };
  return html`<${FieldSlot} side="tasting" field="label_hidden">
    <div class="cover"><p class="field-note">${t('pour.cover_note')}</p>
    <button type="button" class="button" onClick=${hideLabel}>${t('pour.cover')}</button></div><//>`;
}

/**
 * Tell whether the glass is part of a flight. There guesses come first, because one revealed label
 * helps to guess the others.
 */
function isOfFlight() {
  return Boolean(values.tasting.value['flight_mark']);
}

/** @typedef {import('../../store/record.js').Row} Row */

/** @returns {() => Promise<void>} reveals the label; what it needs is read before the tap */
function useReveal() {
  const bottle = currentPour.value?.bottle ?? '';
  const glasses = useMemo(
    () => liveSignal(() => tastingsOfBottle(bottle), /** @type {Row[] | null} */ (null)),
    [bottle],
  ).value;
  return () => reveal(glasses);
}

/** Replace the label while it is hidden. */
export function LabelHidden() {
  const uncover = useReveal();
  const waits = isOfFlight() && !values.tasting.value['guesses_locked_at'];
  return html`<${FieldSlot} side="tasting" field="label_hidden">
    <div class="covered">
    <p class="covered-name name">${t('pour.hidden')}
    </p>
    <p class="field-note">${t(waits ? 'pour.covered_in_flight' : 'pour.covered_note')}
    </p>
    ${!waits && html`<button type="button" class="button plain" onClick=${uncover}>${t('pour.uncover_now')}</button>`}
    </div>
    <//>`;
}

/** @param {Row[] | null} glasses of the bottle; null: they are read first @returns {Promise<void>} */
export async function reveal(glasses) {
  const now = timestamp();
  setFields('tasting', {
    uncovered_at: now,
    ...(values.tasting.peek()['guesses_locked_at'] || !hasGuess() ? {} : { guesses_locked_at: now }),
  });
  const pour = currentPour.peek();
  if (!pour) return;
  const others = (glasses ?? (await tastingsOfBottle(pour.bottle))).filter((row) => row.id !== pour.tasting);
  // The bottle stays hidden while another glass of it is hidden in the same flight.
  if (currentPour.peek()?.bottle === pour.bottle && values.bottle.peek()['covered'] && !hasHiddenGlass(others))
    setFields('bottle', { covered: false });
}

function hasGuess() {
  return GUESS_FIELDS.some(
    (guess) => values.tasting.peek()[guess] !== null && values.tasting.peek()[guess] !== undefined,
  );
}

/**
 * Show the guesses of a tasting with hidden label: editable, then locked, then compared with the
 * label.
 */
export function GuessForm() {
  const fields = values.tasting.value;
  const uncover = useReveal();
  if (!fields['label_hidden']) return null;
  const locked = Boolean(fields['guesses_locked_at']);
  const unguessed = html`<p class="field-note">${t('pour.guesses_none_locked')}</p>`;
  return html`<section class="guesses"><h2>${t('pour.guesses')}</h2>
    ${locked ? html`<${GuessResults} />` : isLabelHidden.value ? html`<${OpenGuesses} />` : unguessed}
    ${
      isLabelHidden.value &&
      html`<${FieldSlot} side="tasting" field="uncovered_at">
    <button type="button" class="button" disabled=${!locked && (hasGuess() || isOfFlight())} onClick=${uncover}>
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

/** Show guesses and label as a table; the label's column is empty until it is revealed. */
function GuessResults() {
  const { tasting, bottle } = { tasting: values.tasting.value, bottle: isLabelHidden.value ? {} : values.bottle.value };
  const year = yearTasted(tasting);
  const age = bottle['vintage'] && tasting['tasted_at'] ? year - bottle['vintage'] : null;
  const vintage = (/** @type {number} */ count) =>
    t('pour.vintage_and_age', { year: String(Math.round(year - count)), count });
  const format = (/** @type {number | null | undefined} */ value, /** @type {(value: number) => string} */ format) =>
    value === null || value === undefined ? null : format(value);
  const rows = [
    ['guess_abv', format(tasting['guess_abv'], abv), format(bottle['label_abv'], abv)],
    ['guess_age_years', format(tasting['guess_age_years'], vintage), format(age, vintage)],
    ['guess_style', styleName(tasting['guess_style']), styleName(bottle['style'])],
    ['guess_grape', tasting['guess_grape'], grapesText(bottle)],
  ];
  return html`<table class="answers" key=${currentPour.value?.tasting}>
  <caption>${isLabelHidden.value ? t('pour.guesses_locked') : wineName(bottle)}
  </caption>
    <thead><tr><td></td><th scope="col">${t('pour.guessed')}</th><th scope="col">${t('pour.label_says')}</th></tr>
    </thead>
    <tbody>
      ${rows.map(
        ([guess, value, truth]) => html`<tr key=${guess} data-field=${`tasting.${guess}`}>
      <th scope="row">${guess === 'guess_age_years' ? t('field.vintage') : guessName(guess ?? '')}
      </th>
      <td>${value || '\u2013'}
      </td>
      <td>${truth || '\u2013'}
      </td>
      </tr>`,
      )}
    </tbody>
    </table>
    ${!isLabelHidden.value && html`<a class="button plain" href="#/pour/guesses">${t('evening.guesses_link')}</a>`}`;
}
