// Behind the words in every page's head: what is where, who opens it, how the book speaks, and how to leave with it.
import { html, useState } from '../../lib/ui.js';
import { syncStatus } from '../../sync/status.js';
import { t } from '../../i18n.js';
import { Page } from '../shell/page.js';
import { Account } from './account.js';
import { Example } from './example.js';
import { House, Look } from './preferences.js';
import { Install } from './install.js';
import { Join } from './pairing_join.js';
import { Keeping } from './storage_status.js';
import { About, Care, Leave } from './about.js';
import { Wanted } from './shopping_defaults.js';

/** @param {{ path: string[] }} props */
export function Room({ path: [page, secret] }) {
  // What the server says of the owner comes a moment later and would push away what one is reading; whoever comes to sign in finds it first.
  const [isAsked] = useState(() => syncStatus.peek().phase === 'signin');
  const account = page === 'devices' ? 'first' : isAsked ? 'second' : 'last';
  if (page === 'join' && secret) return html`<${Page} title=${t('settings.title')}><${Join} secret=${secret} /><//>`;
  return html`<${Page} title=${t('settings.title')}>
    ${page === 'erased' && html`<p class="warm book-erased" role="status">${t('settings.erased')}</p>`}
    <div class="columns">${account === 'first' && html`<${Account} />`}<${Keeping} />${account === 'second' && html`<${Account} />`}<${Example} /><${Wanted} /><${House} /><${Look} />${account === 'last' && html`<${Account} />`}<${Install} /><${Leave} /><${Care} /><${About} /></div>
  <//>`;
}
