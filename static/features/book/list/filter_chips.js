// Chips for the most used filters; the first one opens a sheet with all.
import { html, useState } from '../../../lib/ui.js';
import { t } from '../../../i18n.js';
import { LazySheet } from '../../shell/lazy.js';
import { searchFacts } from '../../../domain/search_index.js';
import { setFilter, filters } from './search_state.js';

const LIKED = 7;
const NOT_LIKED = 4;
const allFilters = () => import('./filter_sheet.js').then((module) => module.BookFilterSheet);

export function FilterChips() {
  const [open, setOpen] = useState(false);
  const by = filters.value;
  const within = (/** @type {'colours' | 'kinds'} */ list, /** @type {string} */ id) => ({
    on: by[list].includes(id),
    toggle: () =>
      setFilter({ [list]: by[list].includes(id) ? by[list].filter((each) => each !== id) : [...by[list], id] }),
  });
  return html`<div class="chips" role="group" aria-label=${t('book.filters')}>
    <button type="button" class="choice" onClick=${() => setOpen(true)}>${t('book.filters')}</button>
    <${Chip} label=${t('book.liked')} on=${by.liking_low === LIKED}
        toggle=${() => setFilter({ liking_low: by.liking_low === LIKED ? null : LIKED, liking_high: null })} />
    <${Chip} label=${t('book.not_liked')} on=${by.liking_high === NOT_LIKED}
        toggle=${() => setFilter({ liking_high: by.liking_high === NOT_LIKED ? null : NOT_LIKED, liking_low: null })} />
    <${Chip} label=${t('book.would_buy')} on=${by.would_buy} toggle=${() => setFilter({ would_buy: !by.would_buy })} />
    ${['red', 'white', 'rose'].map(
      (id) => html`<${Chip} key=${id} label=${t(`colour.${id}`)}
        ...${within('colours', id)} />`,
    )}
    ${['sparkling', 'sweet', 'fortified'].map(
      (id) => html`<${Chip} key=${id} label=${t(`bottle_kind.${id}`)}
        ...${within('kinds', id)} />`,
    )}
    ${
      (by.faulty || searchFacts.value.faulty) &&
      html`<${Chip} label=${t('book.faulty')} on=${by.faulty} toggle=${() => setFilter({ faulty: !by.faulty })} />`
    }
    <${LazySheet} loader=${allFilters} open=${open} onClose=${() => setOpen(false)} />
  </div>`;
}

/** @param {{ label: string, on: boolean, toggle: () => void }} props */
function Chip({ label, on, toggle }) {
  return html`<button type="button" class="choice" aria-pressed=${on} onClick=${toggle}>${label}</button>`;
}
