// Screen of the tastings at the table: the list, and the pages of one tasting.
import { html, useRef } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { preload, useLazy } from '../shell/lazy.js';
import { Page } from '../shell/page.js';
import { stateOf } from '../../domain/table/flow.js';
import { useTable } from '../../domain/table/table_records.js';
import { TableList } from './table_list.js';

const pageLoaders = {
  set: () => import('./set/set_page.js').then((module) => module.SetPage),
  invite: () => import('./invite/invite_page.js').then((module) => module.InvitePage),
  codes: () => import('./invite/codes_page.js').then((module) => module.CodesPage),
  lead: () => import('./lead/lead_page.js').then((module) => module.LeadPage),
  pass: () => import('./pass/pass_page.js').then((module) => module.PassPage),
  talk: () => import('./talk/talk_page.js').then((module) => module.TalkPage),
  results: () => import('./results/results_page.js').then((module) => module.ResultsPage),
};
/** @typedef {keyof typeof pageLoaders} PageName */

/** The page that a table opens with. */
const firstPage = /** @type {const} */ ({ new: 'set', open: 'lead', ended: 'results' });

/** @param {string | undefined} name @returns {PageName | null} */
function pageNamed(name) {
  return name !== undefined && Object.hasOwn(pageLoaders, name) ? /** @type {PageName} */ (name) : null;
}

/** @param {string[]} path */
export async function prepare([, name]) {
  const page = pageNamed(name);
  if (page) await preload(pageLoaders[page]);
}

/** @param {{ path: string[] }} props */
export function Screen({ path }) {
  const [id, name, item] = path;
  return id ? html`<${TablePage} key=${id} id=${id} name=${name} item=${item} />` : html`<${TableList} />`;
}

/** @param {{ id: string, name: string | undefined, item: string | undefined }} props */
function TablePage({ id, name, item }) {
  const table = useTable(id);
  const page = pageNamed(name) ?? (table.asked ? firstPage[stateOf(table)] : null);
  const LazyPage = useLazy(page && pageLoaders[page]);
  // The previous page stays until the next one is loaded.
  const previous = useRef(/** @type {unknown} */ (null));
  if (!table.asked) return html`<${Page} title=${'\u00a0'} back="/table" trailing="" />`;
  if (!table.row || table.row.gone) return html`<${Missing} />`;
  if (LazyPage) previous.current = html`<${LazyPage} key=${`${page}/${item ?? ''}`} table=${table} item=${item} />`;
  return previous.current;
}

function Missing() {
  return html`<${Page} title=${t('app.room_table')} back="/table" trailing="">
    <p class="empty voice">${t('table.missing')}</p><//>`;
}
