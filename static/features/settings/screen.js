// Behind the words in every page's head: what is where, who opens it, how the book speaks, and how to leave with it.
import { html, useState } from '../../lib/ui.js';
import { syncStatus } from '../../sync/status.js';
import { t } from '../../i18n.js';
import { Page } from '../shell/page.js';
import { Account } from './account.js';
import { Example } from './example.js';
import { Preferences, Appearance } from './preferences.js';
import { Install } from './install.js';
import { PairingJoin } from './pairing_join.js';
import { StorageStatus } from './storage_status.js';
import { About, Cautions, ExportSection } from './about.js';
import { ShoppingDefaults } from './shopping_defaults.js';

/** @param {{ path: string[] }} props */
export function Screen({ path: [page, secret] }) {
  // What the server says of the owner comes a moment later and would push away what one is reading; whoever comes to
  // sign in finds it first.
  const [isAsked] = useState(() => syncStatus.peek().phase === 'signin');
  const account = page === 'devices' ? 'first' : isAsked ? 'second' : 'last';
  if (page === 'join' && secret)
    return html`<${Page} title=${t('settings.title')}><${PairingJoin} secret=${secret} /><//>`;
  return html`<${Page} title=${t('settings.title')}>
    ${page === 'erased' && html`<p class="warm book-erased" role="status">${t('settings.erased')}</p>`}
    <div class="columns">
      ${account === 'first' && html`<${Account} />`}
      <${StorageStatus} />
      ${account === 'second' && html`<${Account} />`}
      <${Example} />
      <${ShoppingDefaults} />
      <${Preferences} />
      <${Appearance} />
      ${account === 'last' && html`<${Account} />`}
      <${Install} />
      <${ExportSection} />
      <${Cautions} />
      <${About} />
    </div>
  <//>`;
}
