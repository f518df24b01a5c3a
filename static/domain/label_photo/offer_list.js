// The values that were read, each with its piece of the photo and a tick.
import { html } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { PhotoPiece } from './photo_piece.js';
import { fieldLabel, valueText } from './value_text.js';

/** @typedef {import('./offers.js').Offer} Offer */
/** @typedef {import('./photo_piece.js').Picture} Picture */

/** @param {{ offers: Offer[], ticked: number[], picture: Picture, onToggle: (offer: Offer) => void }} props */
export function OfferList({ offers, ticked, picture, onToggle }) {
  if (!offers.length) return null;
  return html`<ul class="read-offers" aria-label=${t('label_photo.read')}>${offers.map(
    (offer) => html`<li key=${offer.id}>
      <${Tick} isOn=${ticked.includes(offer.id)} onToggle=${() => onToggle(offer)}>
        <${OfferText} offer=${offer} />
        ${offer.box && html`<${PhotoPiece} picture=${picture} box=${offer.box} text=${offer.text} />`}
        ${
          offer.before !== null &&
          html`<span class="read-before small">
            ${t('label_photo.you_have', { value: valueText(offer.field, offer.before) })}</span>`
        }
      <//>
    </li>`,
  )}</ul>`;
}

/** @param {{ offer: Offer }} props */
function OfferText({ offer: { field, value, isSure } }) {
  return html`<span class="read-value">
    <span class="label">${fieldLabel(field)}</span>
    <span class="name">${valueText(field, value)}</span>
    ${!isSure && html`<span class="soft small">${t('label_photo.unsure')}</span>`}
  </span>`;
}

/** Show a line with a box to tick. @param {{ isOn: boolean, onToggle: () => void, children?: unknown }} props */
export function Tick({ isOn, onToggle, children }) {
  return html`<label class="tick-row">
    <input class="unseen" type="checkbox" checked=${isOn} onChange=${onToggle} />
    <span class="tick" aria-hidden="true"></span>
    <span class="tick-words">${children}</span>
  </label>`;
}
