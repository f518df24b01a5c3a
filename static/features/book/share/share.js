// Shares one tasting as text or image, both made on this phone. Only a tap sends it anywhere.
import { html } from '../../../lib/ui.js';
import { abv, date, number } from '../../../lib/format.js';
import { t } from '../../../i18n.js';
import vocabularies from '../../../spec/vocabularies.json' with { type: 'json' };
import { showToast } from '../../../components/layout/toast.js';
import { parseAromas } from '../../../domain/aroma_text.js';
import { bottleName } from '../../../domain/bottle_names.js';
import { localDateTime } from '../../../lib/datetime.js';
import { giveFile } from '../../../domain/give_file.js';
import { renderShareImage } from '../../../domain/share_image.js';
import { styleName } from '../../../domain/style_names.js';
import { AROMA_FIELDS } from '../../../rules/tasting/aroma_fields.js';

/** @typedef {import('../../../store/record.js').Row} Row */
/** @typedef {import('../../../domain/share_image.js').ShareData} ShareData */

const SHARED_FIELDS = AROMA_FIELDS.slice(0, 3);

/** @param {{ tasting: Row, bottle: Row | null }} props */
export function Share({ tasting, bottle }) {
  const data = () => shareData(tasting, bottle);
  const asText = () => giveText(shareText(data()));
  const asPicture = async () => giveFile(await renderShareImage(data()), t('book.share_saved'));
  return html`<section class="diary-step share"><h2>${t('book.share')}</h2><div class="buttons">
    <button type="button" class="button" onClick=${asText}>${t('book.share_text')}</button>
    <button type="button" class="button" onClick=${asPicture}>${t('book.share_picture')}</button>
    <button type="button" class="button" onClick=${() => print()}>${t('book.print')}</button></div>
    <p class="soft small">${t('book.share_note')}</p></section>`;
}

/** Use the browser's share function; without it, copy the text. @param {string} text */
async function giveText(text) {
  if (navigator.canShare?.({ text })) {
    await navigator.share({ text }).catch(() => undefined);
    return;
  }
  await navigator.clipboard.writeText(text);
  showToast(t('book.share_copied'));
}

/**
 * Collect what is shared: the wine and its ratings, but no place, companions or other personal
 * data.
 * @param {Row} tasting
 * @param {Row | null} bottle
 * @returns {ShareData}
 */
export function shareData({ fields }, bottle) {
  const covered = bottle?.fields['covered'];
  const about = covered
    ? []
    : [
        bottle?.fields['producer'],
        styleName(bottle?.fields['style']),
        typeof bottle?.fields['label_abv'] === 'number' ? abv(bottle.fields['label_abv']) : '',
      ];
  return {
    title: bottleName(bottle),
    lines: [
      about.filter(Boolean).join(' \u00b7 '),
      fields['tasted_at']
        ? date(localDateTime(fields['tasted_at']), { day: 'numeric', month: 'long', year: 'numeric' })
        : '',
    ].filter(Boolean),
    scales: [...vocabularies.vocabularies.scale, 'balance', 'complexity']
      .filter((name) => typeof fields[name] === 'number')
      .map((name) => ({
        name: t(`scale.${name}`),
        low: t(`scale.${name}.low`),
        high: t(`scale.${name}.high`),
        value: fields[name],
      })),
    aromas: SHARED_FIELDS.filter((name) => fields[name]?.length).map((name) => ({
      name: t(`field.${name}`),
      words: parseAromas(fields[name])
        .map((each) => each.text)
        .join(', '),
    })),
    liking: fields['liking']
      ? t('book.share_liking', { figure: fields['liking'], liking: t(`liking.${fields['liking']}`) })
      : '',
    words: fields['words'] ?? '',
  };
}

/** @param {ShareData} told */
export function shareText({ title, lines, scales, aromas, liking, words: note }) {
  return [
    title,
    ...lines,
    '',
    ...aromas.map((each) => `${each.name}: ${each.words}`),
    ...scales.map((each) => `${each.name}: ${number(each.value)} (${each.low} \u2013 ${each.high})`),
    '',
    liking,
    note,
  ]
    .join('\n')
    .replace(/\n{3,}/g, '\n\n')
    .trim();
}
