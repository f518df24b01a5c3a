// What lies at home: a bottle becomes a pour in one tap.
import { html } from '../../ui.js';
import { go } from '../../router.js';
import { t } from '../../words.js';
import { say } from '../../parts/said.js';
import { moment } from '../../book/moment.js';
import { newId, remove, saveMany } from '../../book/write.js';
import { bottleLine, bottleName, bottleOf } from '../book/bottle_words.js';
import { shelf } from './shelf_state.js';

/** @typedef {import('../../book/record.js').Row} Row */

export function AtHome() {
  const { stock, bottles } = shelf.value;
  const held = stock.filter((row) => row.fields['count'] > 0);
  if (!held.length) return null;
  const bottlesLeft = held.reduce((sum, row) => sum + row.fields['count'], 0);
  return html`<details class="fold"><summary>${t('shelf.at_home', { count: bottlesLeft })}</summary>
    <ul class="ruled">${held.map((row) => html`<li key=${row.id} class="row"><a class="grow at-home-name" href=${`#/book/bottle/${row.fields['bottle']}`}><span class="name">${bottleName(bottleOf(bottles, row.fields['bottle']))}</span>
      <span class="soft small">${[t('book.stock_left', { count: row.fields['count'] }), row.fields['where'], bottleLine(bottleOf(bottles, row.fields['bottle']))].filter(Boolean).join(' \u00b7 ')}</span></a>
      <button type="button" class="button" onClick=${() => pourFrom(row)} aria-label=${t('shelf.pour_named', { name: bottleName(bottleOf(bottles, row.fields['bottle'])) })}>${t('shelf.pour_it')}</button></li>`)}</ul>
  </details>`;
}

/** One bottle fewer at home, and a tasting of it begun. @param {Row} row */
export async function pourFrom(row) {
  const tasting = newId();
  const { count, bottle } = row.fields;
  await saveMany([{ kind: 'tasting', id: tasting, fields: { bottle, tasted_at: moment() } }, { kind: 'stock', id: row.id, fields: { count: count - 1 } }]);
  go(`/pour/${tasting}/note`);
  say(t('shelf.one_opened'), async () => {
    await saveMany([{ kind: 'stock', id: row.id, fields: { count } }]);
    await remove('tasting', tasting);
    go('/shelf');
  });
}
