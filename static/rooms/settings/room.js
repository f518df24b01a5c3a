// Behind the words in every page's head: what is where, how the book speaks, and how to leave with it.
import { html } from '../../ui.js';
import { t } from '../../words.js';
import { Page } from '../page.js';
import { Example } from './example.js';
import { House, Look } from './house.js';
import { Keeping } from './keeping.js';
import { About, Care, Leave } from './leaflet.js';
import { Wanted } from './wanted.js';

export const words = ['settings', 'book', 'pour'];

export function Room() {
  return html`<${Page} title=${t('settings.title')}>
    <${Keeping} /><${Example} /><${Wanted} /><${House} /><${Look} /><${Leave} /><${Care} /><${About} />
  <//>`;
}
