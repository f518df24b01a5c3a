// Selects what to compare with: the same bottle first, then the same style, then all, filtered by
// typed text.
import { html, useEffect, useMemo } from '../../lib/ui.js';
import { navigate } from '../../router.js';
import { date } from '../../lib/format.js';
import { t } from '../../i18n.js';
import { SearchList } from '../../components/form/search_select.js';
import { Sheet } from '../../components/layout/sheet.js';
import { searchIndex, watchSearchIndex } from '../../domain/search_index.js';
import { localDateTime } from '../../lib/datetime.js';

const LIKELY = 8;

/** @param {string[]} ids */
export const addressInBook = (ids) => `/book/side/${ids.join('/')}`;

/**
 * @param {{ open: boolean, onClose: () => void, ids: string[], addressOf?: (ids: string[]) => string }} props
 *   addressOf: where the chosen ones are compared
 */
export function ComparePicker({ open, onClose, ids, addressOf = addressInBook }) {
  return html`<${Sheet} className="steady" title=${t('book.side_choose')} open=${open} onClose=${onClose}>
    ${open && html`<${Choosing} ids=${ids} addressOf=${addressOf} />`}
  <//>`;
}

/** @param {{ ids: string[], addressOf: (ids: string[]) => string }} props */
function Choosing({ ids, addressOf }) {
  useEffect(watchSearchIndex, []);
  const entries = searchIndex.value ?? [];
  const items = useMemo(
    () =>
      entries
        .filter((entry) => !ids.includes(entry.id))
        .map(({ id, at, about, text }) => ({
          id,
          label: about.name,
          note: [at && date(localDateTime(at)), about.line].filter(Boolean).join(' \u00b7 '),
          find: text,
        })),
    [searchIndex.value, ids.join(' ')],
  );
  const first = entries.find((entry) => entry.id === ids[0]);
  const related = (/** @type {'id' | 'wine' | 'style'} */ by) =>
    entries
      .filter((entry) => first?.about[by] && entry.about[by] === first.about[by] && !ids.includes(entry.id))
      .map((entry) => entry.id);
  const likely = [...new Set([...related('id'), ...related('wine'), ...related('style')])].slice(0, LIKELY);
  return html`<${SearchList} items=${items} likely=${likely} chosen=${null}
      onChoose=${(/** @type {string} */ id) => navigate(addressOf([...ids, id]))} />`;
}
