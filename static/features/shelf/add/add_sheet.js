// Adds a bottle to the shelf: name, style, label alcohol, price. Other fields are taken over from
// the last pick.
import { html, signal, useEffect, useMemo, useRef, useState } from '../../../lib/ui.js';
import { currencySign } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import vocabularies from '../../../spec/vocabularies.json' with { type: 'json' };
import { plainText } from '../../../lib/plain_text.js';
import { SearchSelect } from '../../../components/form/search_select.js';
import { NumberField, TextField } from '../../../components/form/field.js';
import { PriceField } from '../../../components/form/price_field.js';
import { Sheet } from '../../../components/layout/sheet.js';
import { MAX_ABV } from '../../../domain/bottle/abv.js';
import { allBottles } from '../../../domain/bottle/all_bottles.js';
import { LazySheet, useLazy } from '../../shell/lazy.js';
import { bottleName, labelAbv, wineName } from '../../../domain/bottle_names.js';
import { currencyItems } from '../../../domain/currencies.js';
import {
  startDraft,
  pickDraft,
  errors,
  knownBottles,
  suggestions,
  values,
  applyBarcode,
  useExisting,
  setDraftFields,
  typeName,
} from './pick_draft.js';
import { moveYear, moveYearAndSay } from './name_year.js';
import { LabelButton } from './label_button.js';
import { StyleField } from './style_field.js';
import { shelf } from '../list/shelf_state.js';
import { Row } from '../../../components/layout/row.js';

const loadVintageField = () => import('../../../domain/bottle/vintage_field.js').then((module) => module.VintageField);
const scanning = () => import('../scan/scan_sheet.js').then((module) => module.ScanSheet);

/** The bottle that was added before the one being entered, to say so, and its year if that was moved. */
const added = signal(/** @type {{ name: string, moved: import('./name_year.js').Moved | null } | null} */ (null));

export function openAddSheet() {
  added.value = null;
  startDraft();
  allBottles().then((rows) => {
    knownBottles.value = rows;
  });
}

function nextBottle() {
  const moved = moveYear();
  const name = wineName(values.bottle.peek());
  openAddSheet();
  added.value = { name, moved };
}

export function AddSheet() {
  const close = () => {
    moveYearAndSay();
    pickDraft.value = null;
  };
  const now = pickDraft.value;
  return html`<${Sheet} title=${t('shelf.add')} open=${now !== null} onClose=${close}>
    ${
      now &&
      html`<form class="add-pick" key=${now.pick} onSubmit=${(/** @type {Event} */ event) => {
        event.preventDefault();
        close();
      }}>
      <${Added} />
      <${Barcode} />
      <${NameAndKnown} />
      <${StyleField} />
      <div class="pair">
        <${NumberField} label=${t('field.label_abv')} unit="%" min=${0} max=${MAX_ABV}
            value=${values.bottle.value['label_abv']} error=${errorOf('label_abv')}
            onChange=${(/** @type {number | null} */ value) => setDraftFields('bottle', { label_abv: value })} />
        <${PriceField} label=${t('field.price')} currency=${values.pick.value['currency']}
            value=${values.pick.value['price']} error=${errorOf('price')}
            onChange=${(/** @type {number | null} */ value) => setDraftFields('pick', { price: value })} />
      </div>
      <${AsLastTime} />
      <div class="buttons sheet-buttons">
        <button type="button" class="button" disabled=${!now.created} onClick=${nextBottle}>${t('shelf.add_next')}
        </button>
        <button type="submit" class="button primary">${t('shelf.add_done')}</button>
      </div>
    </form>`
    }
  <//>`;
}

function Added() {
  if (!added.value) return null;
  const { name, moved } = added.value;
  const takeBack = () => {
    added.value = moved && { name: moved.name, moved: null };
    moved?.undo();
  };
  // In the sheet, because a toast lies behind it.
  return html`<p class="field-note label-used" role="status">${t('shelf.added', { name })} ${moved?.text}
    ${moved && html`<button type="button" class="button plain" onClick=${takeBack}>${t('pour.year_back')}</button>`}
  </p>`;
}

/** @param {string} field */
function errorOf(field) {
  const found = errors.value[field];
  return found ? t(`error.${found.code}`, { bound: found.bound ?? '' }) : null;
}

/** Scan a barcode, which fills in a known bottle. */
function Barcode() {
  const [open, setOpen] = useState(false);
  const { gtin } = values.bottle.value;
  const found = (/** @type {string} */ code) => {
    setOpen(false);
    applyBarcode(code);
  };
  return html`<div class="scan-open">
  <button type="button" class="button plain" onClick=${() => setOpen(true)}>${t('shelf.scan')}
  </button>
  <${LabelButton} />
  ${gtin && html`<span class="figure soft small">${gtin}</span>`}
  </div>
    <${LazySheet} loader=${scanning} open=${open} onClose=${() => setOpen(false)} onFound=${found} />`;
}

function NameAndKnown() {
  const box = useRef(/** @type {HTMLElement | null} */ (null));
  // For the next bottle too, for which the sheet does not open anew.
  useEffect(() => {
    if (added.peek() !== null) box.current?.querySelector('input')?.focus();
  }, []);
  return html`<div ref=${box}><${TextField} label=${t('field.name')} className="name-input" maxLength=${120} autofocus
      value=${values.bottle.value['name']} error=${errorOf('name')}
      onChange=${typeName} /></div>
    ${
      suggestions.value.length > 0 &&
      html`<ul class="ruled known-bottles" aria-label=${t('shelf.known_bottles')}>${suggestions.value.map(
        (row) => html`<li key=${row.id}><${Row} name=${bottleName(row)} onClick=${() => useExisting(row)}>
        <span class="soft small">${labelAbv(row)}</span>
      <//></li>`,
      )}</ul>`
    }
    ${pickDraft.value?.known && html`<p class="field-note">${t('shelf.is_known')}</p>`}`;
}

/** Edit shop, currency and market. They are taken from the last pick and collapsed to one line. */
function AsLastTime() {
  const { label_market, producer } = values.bottle.value;
  const Vintage = useLazy(loadVintageField);
  const { shop, currency } = values.pick.value;
  const currencies = useMemo(currencyItems, []);
  const markets = useMemo(
    () =>
      vocabularies.vocabularies.market.map((id) => ({
        id,
        label: t(`market.${id}`),
        find: plainText(t(`market.${id}`)),
      })),
    [],
  );
  const parts = [shop, label_market && t(`market.${label_market}`), currencySign(currency)]
    .filter(Boolean)
    .join(' \u00b7 ');
  const { pick: own, known } = pickDraft.value ?? {};
  // A known bottle and the settings say where it is sold without any last time.
  const isLikeLast = parts && !known && shelf.value.picks.some((pick) => pick.id !== own);
  return html`<details class="as-last-time">
  <summary>${t(isLikeLast ? 'shelf.more' : 'shelf.more_first')} <span class="soft small">${parts}</span>
  </summary>
    <${TextField} label=${t('field.shop')} maxLength=${120} value=${shop} error=${errorOf('shop')}
        onChange=${(/** @type {string | null} */ value) => setDraftFields('pick', { shop: value })} />
    <${SearchSelect} label=${t('field.label_market')} items=${markets} value=${label_market}
        placeholder=${t('shelf.not_said')}
        onChange=${(/** @type {string | null} */ value) => setDraftFields('bottle', { label_market: value })} />
    <${SearchSelect} label=${t('field.currency')} items=${currencies} value=${currency}
        valueText=${currencySign(currency)}
        placeholder=${t('shelf.not_said')}
        onChange=${(/** @type {string | null} */ value) => setDraftFields('pick', { currency: value })} />
    <div class="pair">
      <${TextField} label=${t('field.producer')} maxLength=${120} value=${producer} error=${errorOf('producer')}
          onChange=${(/** @type {string | null} */ value) => setDraftFields('bottle', { producer: value })} />
      ${
        Vintage &&
        html`<${Vintage} bottle=${values.bottle.value}
          onChange=${(/** @type {Record<string, any>} */ vintage) => setDraftFields('bottle', vintage)} />`
      }
    </div>
  </details>`;
}
