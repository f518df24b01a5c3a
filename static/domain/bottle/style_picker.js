// Selects a style. The list is built when the sheet is first opened.
import { html, useEffect, useMemo, useState } from '../../lib/ui.js';
import { SearchSelect } from '../../components/form/search_select.js';
import { styleName } from '../style_names.js';
import { styleItems } from './style_search.js';

/**
 * @param {{ label: string, value: string | null | undefined, placeholder: string, hideLabel?: boolean,
 *   likely?: () => string[], onChange: (id: string | null) => void }} props
 */
export function StylePicker({ label, value, placeholder, hideLabel = false, likely = () => [], onChange }) {
  const [asked, ask] = useState(false);
  // Built ahead when the browser is idle, because it takes long and the sheet needs it at once.
  useEffect(() => {
    globalThis.requestIdleCallback?.(styleItems);
  }, []);
  const items = useMemo(() => (asked ? styleItems() : []), [asked]);
  return html`<${SearchSelect} label=${label} items=${items} valueText=${styleName(value)} value=${value}
    placeholder=${placeholder} hideLabel=${hideLabel} likely=${asked ? likely() : []} onOpen=${() => ask(true)}
    onChange=${onChange} />`;
}
