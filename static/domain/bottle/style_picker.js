// Selects a style. The list is built when the sheet is first opened.
import { html, useEffect, useState } from '../../lib/ui.js';
import { untilLoaded } from '../../lib/until_loaded.js';
import { SearchSelect } from '../../components/form/search_select.js';
import { styleName } from '../style_names.js';
import { plainName, plainOf } from './plain_styles.js';
import { styleItems } from './style_search.js';

/** @typedef {import('../../components/form/search_select.js').Item} Item */

const load = () => untilLoaded(() => import('./style_list.js'));

/**
 * @param {{ label: string, value: string | null | undefined, placeholder: string, hideLabel?: boolean,
 *   likely?: () => string[], bottle?: Record<string, any> | null, onChange: (id: string | null) => void }} props
 *   bottle: offer plain colours too, of which this bottle may have one
 */
export function StylePicker({
  label,
  value,
  placeholder,
  hideLabel = false,
  likely = () => [],
  bottle = null,
  onChange,
}) {
  const [items, setItems] = useState(/** @type {Item[]} */ ([]));
  // Built ahead when the browser is idle, because it takes long and the sheet needs it at once.
  useEffect(() => {
    globalThis.requestIdleCallback?.(styleItems);
  }, []);
  const open = () =>
    load().then(({ styleList }) => {
      if (!items.length) setItems(styleList(bottle !== null));
    });
  return html`<${SearchSelect} label=${label} items=${items}
    valueText=${styleName(value) || (bottle ? plainName(bottle) : '')}
    value=${value ?? (bottle && plainOf(bottle))} placeholder=${placeholder} hideLabel=${hideLabel}
    likely=${items.length ? likely() : []} onOpen=${open} onChange=${onChange} />`;
}
