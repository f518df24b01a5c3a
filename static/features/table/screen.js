// Screen of the tastings at the table: the list, and the pages of one tasting.
import { html, useRef } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { preload, useLazy } from '../shell/lazy.js';
import { Page } from '../shell/page.js';
import { stateOf } from '../../domain/table/flow.js';
import { tableClock } from '../../domain/table/moment.js';
import { useTable } from '../../domain/table/table_records.js';
import { useTop } from '../../components/layout/use_top.js';
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

/** Pages of people, at `#/table/person/<id>`, `#/table/person/<id>/carry` and `#/table/person/take`. */
const personLoaders = {
  page: () => import('./person/person_page.js').then((module) => module.PersonPage),
  carry: () => import('./person/carry_page.js').then((module) => module.CarryPage),
  take: () => import('./person/take_page.js').then((module) => module.TakePage),
};

/** The page that a table opens with. */
const firstPage = /** @type {const} */ ({ new: 'set', open: 'lead', ended: 'results' });

/** @param {string | undefined} name @returns {PageName | null} */
function pageNamed(name) {
  return name !== undefined && Object.hasOwn(pageLoaders, name) ? /** @type {PageName} */ (name) : null;
}

/** @param {string[]} path */
export async function prepare([id, name, item]) {
  const page = pageNamed(name);
  if (id === 'person') await preload(personLoaders[personPage(name, item)]);
  else if (page) await preload(pageLoaders[page]);
}

/** @param {string | undefined} id @param {string | undefined} name */
function personPage(id, name) {
  if (id === 'take') return 'take';
  return name === 'carry' ? 'carry' : 'page';
}

/** @param {{ path: string[] }} props */
export function Screen({ path }) {
  const [id, name, item] = path;
  if (id === 'person' && name) return html`<${Person} key=${name} id=${name} page=${personPage(name, item)} />`;
  return id ? html`<${TablePage} key=${id} id=${id} name=${name} item=${item} />` : html`<${TableList} />`;
}

/** @param {{ id: string, name: string | undefined, item: string | undefined }} props */
function TablePage({ id, name, item }) {
  const table = useTable(id);
  const page = pageNamed(name) ?? (table.asked ? firstPage[stateOf(table)] : null);
  const LazyPage = useLazy(page && pageLoaders[page]);
  useTop(`${page}/${item}/${Boolean(LazyPage)}`);
  // The previous page stays until the next one is loaded.
  const previous = useRef(/** @type {unknown} */ (null));
  if (!table.asked || tableClock.value === null) return html`<${Page} title=${'\u00a0'} back="/table" trailing="" />`;
  if (!table.row || table.row.gone) return html`<${Missing} />`;
  if (LazyPage) previous.current = html`<${LazyPage} key=${`${page}/${item ?? ''}`} table=${table} item=${item} />`;
  return previous.current;
}

/** @param {{ id: string, page: keyof typeof personLoaders }} props */
function Person({ id, page }) {
  const LazyPage = useLazy(personLoaders[page]);
  return LazyPage
    ? html`<${LazyPage} id=${id} />`
    : html`<${Page} title=${t('table.people')} back="/table" trailing="" />`;
}

function Missing() {
  return html`<${Page} title=${t('app.room_table')} back="/table" trailing="">
    <p class="empty voice">${t('table.missing')}</p><//>`;
}
