// Reads a label by the camera, and proposes what it says for a bottle. Only what is ticked is written.
import { html, useEffect, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { Sheet } from '../../components/layout/sheet.js';
import { bottleByGtin } from '../../store/bottle_queries.js';
import { wineName } from '../bottle_names.js';
import { NamePicker, namesOf } from './name_picker.js';
import { OfferList, Tick } from './offer_list.js';
import { fieldsOf, firstTicks, nameLines, offersOf, toggled } from './offers.js';
import { PhotoSteps } from './photo_steps.js';
import { fieldLabel, valueText } from './value_text.js';
import { cachedSettings } from '../units.js';

/** @typedef {import('../../store/record.js').Fields} Fields */
/** @typedef {import('../../store/record.js').Row} Row */
/** @typedef {import('./photo_piece.js').Picture} Picture */
/** @typedef {{ fields: Fields, photo: Blob | null }} Taken photo: null if it is not to be kept */
/**
 * @typedef {object} LabelUse
 * @property {Fields} bottle the fields that the bottle has
 * @property {string} keepText text of the tick that keeps the photo
 * @property {(taken: Taken) => void} onUse
 * @property {((gtin: string) => void) | null} onKnown goes on with a bottle of the notes that has the barcode
 */

/** @param {LabelUse & { open: boolean, onClose: () => void }} props */
export function LabelSheet({ open, onClose, ...use }) {
  return html`<${Sheet} title=${t('label_photo.title')} open=${open} onClose=${onClose}>
    ${open && html`<${ReadLabel} ...${use} />`}
  <//>`;
}

/** @param {LabelUse} use */
function ReadLabel(use) {
  const market = use.bottle['label_market'] ?? cachedSettings()['market'] ?? null;
  return html`<${PhotoSteps} kind="label" isEmpty=${isEmpty}
    read=${(/** @type {any} */ reader, /** @type {Blob} */ photo, /** @type {any} */ running) =>
      reader.readLabel(photo, { ...running, market })}
    result=${(/** @type {any} */ read) => html`<${Result} ...${use} ...${read} />`} />`;
}

/** @param {any} result */
function isEmpty(result) {
  return result.proposals.length === 0 && !result.barcode && nameLines(result).length === 0;
}

/** @param {LabelUse & { photo: Blob, picture: Picture, result: any }} props */
function Result({ bottle, keepText, onUse, onKnown, photo, picture, result }) {
  // What the bottle had when the photo was read; a sync meanwhile must not move the ticks.
  const [{ offers, known }] = useState(() => offersOf(result, bottle));
  const [ticked, setTicked] = useState(() => firstTicks(offers));
  const [roles, setRoles] = useState(/** @type {Record<number, string>} */ ({}));
  const [isKept, setKept] = useState(false);
  const lines = nameLines(result);
  const names = namesOf(lines, roles);
  const isNothing = ticked.length === 0 && !isKept && !names.name && !names.producer;
  const use = () => {
    const chosen = offers.filter(({ id }) => ticked.includes(id));
    onUse({ fields: fieldsOf(chosen, names, bottle), photo: isKept ? photo : null });
  };
  return html`<p class="soft small">${t(offers.length ? 'label_photo.check' : 'label_photo.nothing_for_fields')}</p>
    ${onKnown && html`<${KnownBottle} offers=${[...offers, ...known]} onKnown=${onKnown} />`}
    <${OfferList} offers=${offers} ticked=${ticked} picture=${picture}
      onToggle=${(/** @type {any} */ offer) => setTicked(toggled(offers, ticked, offer))} />
    ${
      known.length > 0 &&
      html`<p class="soft small read-known">${t('label_photo.known', {
        list: known.map(({ field, value }) => `${fieldLabel(field)} ${valueText(field, value)}`).join(' \u00b7 '),
      })}</p>`
    }
    ${
      lines.length > 0 &&
      html`<${NamePicker} lines=${lines} roles=${roles} picture=${picture} bottle=${bottle} onChange=${setRoles} />`
    }
    <ul class="read-offers"><li><${Tick} isOn=${isKept} onToggle=${() => setKept(!isKept)}>${keepText}<//></li></ul>
    <div class="photo-buttons">
      <button type="button" class="button primary" disabled=${isNothing} onClick=${use}>${t('label_photo.use')}</button>
    </div>`;
}

/** Offer a bottle of the notes with the barcode. @param {{ offers: any[], onKnown: (gtin: string) => void }} props */
function KnownBottle({ offers, onKnown }) {
  const gtin = offers.find(({ field }) => field === 'gtin')?.value;
  const [row, setRow] = useState(/** @type {Row | null} */ (null));
  useEffect(() => {
    if (!gtin) return;
    bottleByGtin(gtin).then(
      (found) => setRow(found ?? null),
      () => undefined,
    );
  }, [gtin]);
  return (
    row &&
    html`<p class="read-bottle">
      <span>${t('label_photo.known_bottle', { name: wineName(row.fields) })}</span>
      <button type="button" class="button plain" onClick=${() => onKnown(gtin)}>${t('label_photo.known_use')}</button>
    </p>`
  );
}
