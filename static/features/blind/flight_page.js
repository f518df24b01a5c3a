// Page to create a flight: the pourer enters the wines, hides the labels, pours by the list and
// hands over the phone.
import { html, useEffect, useMemo, useRef } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { navigate, toTop } from '../../router.js';
import { date } from '../../lib/format.js';
import { today } from '../../lib/datetime.js';
import { followState } from '../../store/follow_state.js';
import { allOf, liveSignal } from '../../store/queries.js';
import { Choice } from '../../components/form/choice.js';
import { NumberField, TextField } from '../../components/form/field.js';
import { plainText } from '../../lib/plain_text.js';
import { SearchSelect } from '../../components/form/search_select.js';
import { showToast } from '../../components/layout/toast.js';
import { Page } from '../shell/page.js';
import { MAX_ABV } from '../../domain/bottle/abv.js';
import { styleName } from '../../domain/style_names.js';
import { MAX_GLASSES } from '../../domain/blind/shuffle.js';
import { createFlight, flightDraft, emptyDraft, saveFlight } from '../../domain/blind/flight.js';
import { wineName } from '../../domain/bottle_names.js';
import { StylePicker } from '../../domain/bottle/style_picker.js';
import { VintageField } from '../../domain/bottle/vintage_field.js';
import { AtThumb } from '../../components/layout/at_thumb.js';

/** @typedef {import('../../domain/blind/flight.js').Wine} Wine */
/** @typedef {import('../../domain/blind/flight.js').Draft} Draft */
/** @typedef {import('../../store/record.js').Row} Row */

const MIN_WINES = 2;
/** @type {Wine} */
const NO_WINE = { bottle: null, name: null, style: null, label_abv: null, vintage: null, non_vintage: null };

export function FlightPage() {
  useEffect(() => followState(flightDraft), []);
  const made = flightDraft.value ?? emptyDraft();
  return html`<${Page} title=${t('evening.flight')} back="/pour/evening" trailing="">
    ${made.poured ? html`<${PouringList} poured=${made.poured} />` : html`<${Wines} made=${made} />`}
  <//>`;
}

/** @param {{ made: Draft }} props */
function Wines({ made }) {
  const wine = made.typed ?? NO_WINE;
  const update = (/** @type {Partial<Draft>} */ change) =>
    flightDraft.set({ ...(flightDraft.peek() ?? made), ...change });
  const type = (/** @type {Partial<Wine>} */ change) =>
    update({ typed: { ...(flightDraft.peek()?.typed ?? NO_WINE), ...change } });
  const full = made.wines.length >= MAX_GLASSES - 1;
  const add = (/** @type {Wine} */ added) => update({ wines: [...made.wines, added], typed: null });
  const drop = (/** @type {number} */ index) => update({ wines: made.wines.filter((_, each) => each !== index) });
  const isCovering = useRef(false);
  const cover = async () => {
    const wines = canAdd(wine) ? [...made.wines, wine] : made.wines;
    if (isCovering.current) return;
    if (wines.length < MIN_WINES) {
      showToast(t('evening.flight_fewest'));
      return;
    }
    isCovering.current = true;
    try {
      await createFlight({ ...made, wines, typed: null }, t('evening.flight_named', { on: date(today()) }));
    } finally {
      isCovering.current = false;
    }
  };
  return html`<p class="voice guide">${t('evening.flight_guide')}</p>
    ${
      made.wines.length > 0 &&
      html`<ol class="ruled" aria-label=${t('evening.flight_wines')}>${made.wines.map(
        (each, index) => html`<li key=${index} class="flight-wine"><span class="grow name">${wineName(each)}</span>
      <button type="button" class="button plain" onClick=${() => drop(index)}
          aria-label=${t('evening.flight_drop', { name: wineName(each) })}>
        ${t('evening.drop')}
      </button>
      </li>`,
      )}</ol>`
    }
    ${
      !full &&
      html`<${OneWine} key=${made.wines.length} wine=${wine} onType=${type} onSelect=${add} />
      <button type="button" class="button" disabled=${!canAdd(wine)} onClick=${() => add(wine)}>
        ${t('evening.flight_add')}
      </button>`
    }
    <${Choice} label=${t('evening.flight_repeat')} note=${t('evening.flight_repeat_note')}
        value=${made.repeated ? 'one' : 'none'}
        options=${['one', 'none'].map((id) => ({ id, label: t(`evening.flight_repeat_${id}`) }))}
      onChange=${(/** @type {string | null} */ choice) => {
        if (choice) update({ repeated: choice === 'one' });
      }} />
    <${AtThumb}>
    <button type="button" class="button primary" onClick=${cover}>${t('evening.flight_cover')}
    </button>
    <//>`;
}

/** @param {Wine} wine */
function canAdd(wine) {
  return Boolean(wine.name?.trim() || wine.style);
}

/** @param {{ wine: Wine, onType: (change: Partial<Wine>) => void, onSelect: (wine: Wine) => void }} props */
function OneWine({ wine, onType, onSelect }) {
  const known = useKnown();
  const select = (/** @type {string | null} */ id) => {
    const row = known.find((each) => each.id === id);
    if (row)
      onSelect({
        bottle: row.id,
        name: row.fields['name'] ?? null,
        style: row.fields['style'] ?? null,
        label_abv: row.fields['label_abv'] ?? null,
        vintage: row.fields['vintage'] ?? null,
        non_vintage: row.fields['non_vintage'] ?? null,
      });
  };
  const items = known.map((row) => ({
    id: row.id,
    label: wineName(row.fields),
    note: styleName(row.fields['style']),
    find: plainText([row.fields['producer'], wineName(row.fields)].join(' ')),
  }));
  return html`<div class="flight-one">
    <${TextField} label=${t('field.name')} value=${wine.name} maxLength=${120}
        onChange=${(/** @type {string | null} */ name) => onType({ name })} />
    <${StylePicker} label=${t('field.style')} value=${wine.style} placeholder=${t('pour.choose_style')}
        onChange=${(/** @type {string | null} */ style) => onType({ style })} />
    <div class="pair">
      <${NumberField} label=${t('pour.alcohol')} unit=${t('pour.percent')} min=${0} max=${MAX_ABV}
          value=${wine.label_abv} onChange=${(/** @type {number | null} */ label_abv) => onType({ label_abv })} />
      <${VintageField} bottle=${wine} onChange=${onType} /></div>
    ${
      items.length > 0 &&
      !canAdd(wine) &&
      html`<${SearchSelect} label=${t('evening.flight_known')} items=${items}
        value=${null} placeholder=${t('evening.flight_known_choose')} onChange=${select} />`
    }
    </div>`;
}

/** @returns {Row[]} bottles whose label is not hidden, newest first */
function useKnown() {
  const known = useMemo(() => liveSignal(() => allOf('bottle'), /** @type {Row[]} */ ([])), []);
  return known.value
    .filter(
      (row) => !row.fields['covered'] && !row.fields['merged_into'] && (row.fields['name'] || row.fields['style']),
    )
    .reverse();
}

/**
 * Show the list to the pourer. It is removed before the phone is handed over.
 * @param {{ poured: import('../../domain/blind/flight.js').Poured }} props
 */
function PouringList({ poured }) {
  const hide = async () => {
    await saveFlight(poured);
    await flightDraft.set(null);
    navigate(`/pour/visit/${poured.visit}`, { replace: true });
  };
  useEffect(() => {
    toTop();
    saveFlight(poured);
  }, []);
  return html`<p class="voice guide">${t('evening.flight_pour_guide')}</p>
    <ol class="ruled" aria-label=${t('evening.pour_list')}>
      ${poured.glasses.map(
        ({ mark, name }) => html`<li key=${mark} class="flight-wine">
      <span class="glass-mark">${mark}
      </span>
      <span class="grow name">${name}
      </span>
      </li>`,
      )}
    </ol>
    <${AtThumb}>
    <button type="button" class="button primary" onClick=${hide}>${t('evening.flight_hide')}
    </button>
    <//>`;
}
