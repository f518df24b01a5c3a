// Opens a bottle from the stock: starts a tasting and takes one bottle from the stock.
import { navigate, route } from '../router.js';
import { t } from '../i18n.js';
import { showToast } from '../components/layout/toast.js';
import { timestamp } from '../lib/datetime.js';
import { openPour } from '../store/open_pour.js';
import { commitEdits, newId, saveMany } from '../store/write.js';
import { addToCount } from './stock_count.js';

/** @typedef {import('../store/record.js').Row} Row */
/** @typedef {import('../store/open_pour.js').OpenPour} OpenPour */

/**
 * @param {string} bottle id
 * @param {Row | undefined} stock its stock record, if there is one
 */
export async function openBottle(bottle, stock) {
  const tasting = newId();
  const from = route.peek();
  const unfinished = openPour.peek();
  const count = stock?.fields['count'] ?? 0;
  const less =
    stock && count > 0 ? [{ kind: /** @type {const} */ ('stock'), id: stock.id, fields: { count: count - 1 } }] : [];
  await saveMany([{ kind: 'tasting', id: tasting, fields: { bottle, tasted_at: timestamp() } }, ...less]);
  navigate(`/pour/${tasting}/note`);
  if (!stock || !less.length) return;
  showToast(t('book.one_opened'), async () => {
    await putBottleBack({ stock: stock.id, count, tasting, unfinished });
    navigate(`/${[from.screen, ...from.path].join('/')}`);
  });
}

/**
 * Undo an opening. Both writes begin at once, so that a page that is closed loses neither; the pour that was left comes
 * first, because a deleted one must never be the open one.
 * @param {{ stock: string, count: number, tasting: string, unfinished: OpenPour | null }} opened count: as it was
 */
export async function putBottleBack({ stock, count, tasting, unfinished }) {
  const opened = openPour.set(unfinished);
  /** @type {import('./stock_count.js').CountEdit[]} */
  const back = [
    { kind: 'stock', id: stock, fields: { count }, by: 1 },
    { kind: 'tasting', id: tasting, deleted: true },
  ];
  await commitEdits(back, addToCount);
  await opened;
}
