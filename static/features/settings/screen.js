// Settings: storage and sync state, account, preferences, export.
import { html, useEffect, useState } from '../../lib/ui.js';
import { watchSearchIndex } from '../../domain/search_index.js';
import { syncStatus } from '../../sync/status.js';
import { t } from '../../i18n.js';
import { Page } from '../shell/page.js';
import { Account, EraseSection } from './account.js';
import { Example } from './example.js';
import { Preferences, Appearance, returnToLanguage } from './preferences.js';
import { LabelReader } from './label_reader.js';
import { Install } from './install.js';
import { pairingClaim } from './pairing_claim.js';
import { PairingJoin } from './pairing_join.js';
import { StorageStatus } from './storage_status.js';
import { About, Cautions, ExportSection } from './about.js';
import { ShoppingDefaults } from './shopping_defaults.js';

/** Pages after an erasure: everywhere, or on this phone. */
const ERASED = ['erased', 'erased_here'];

/** @param {{ path: string[] }} props */
export function Screen({ path: [page, secret] }) {
  // Decided once: the account section comes first for a user who comes to sign in, but must not
  // move later while somebody reads.
  const [isAsked] = useState(() => ['signin', 'apart'].includes(syncStatus.peek().phase));
  useEffect(returnToLanguage, []);
  useEffect(watchSearchIndex, []);
  const erased = ERASED.find((one) => one === page);
  const account = page === 'devices' ? 'first' : isAsked ? 'second' : 'last';
  // A phone that waits to be added shows its number whichever way somebody comes back.
  if (page === 'join' || pairingClaim.value)
    return html`<${Page} title=${t('settings.title')}><${PairingJoin} secret=${secret} /><//>`;
  return html`<${Page} title=${t('settings.title')}>
    ${erased && html`<p class="warm book-erased" role="status">${t(`settings.${erased}`)}</p>`}
    <div class="columns">
      ${account === 'first' && html`<${Account} />`}
      <${StorageStatus} />
      ${account === 'second' && html`<${Account} />`}
      <${Appearance} />
      <${Example} />
      <${ShoppingDefaults} />
      <${Preferences} />
      ${account === 'last' && html`<${Account} />`}
      <${LabelReader} />
      <${Install} />
      <${ExportSection} />
      <${Cautions} />
      <${About} />
      <${EraseSection} />
    </div>
  <//>`;
}
