// Selects a style. The list is built when the sheet is first opened.
import { html, useEffect, useMemo, useState } from '../../lib/ui.js';
import { locale, t } from '../../i18n.js';
import { SearchSelect } from '../../components/form/search_select.js';
import { styleName, styleOf } from '../style_names.js';
import { plainItems, plainName, plainOf } from './plain_styles.js';
import { styleItems } from './style_search.js';

/** Order of the headings: still wines by colour, then the other kinds. */
const ORDER = [
  'colour.red',
  'colour.white',
  'colour.rose',
  'colour.amber',
  'bottle_kind.sparkling',
  'bottle_kind.semi_sparkling',
  'bottle_kind.sweet',
  'bottle_kind.fortified',
];

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
  const [asked, ask] = useState(false);
  // Built ahead when the browser is idle, because it takes long and the sheet needs it at once.
  useEffect(() => {
    globalThis.requestIdleCallback?.(styleItems);
  }, []);
  const items = useMemo(() => (asked ? [...(bottle ? plainItems() : []), ...grouped()] : []), [asked, bottle === null]);
  return html`<${SearchSelect} label=${label} items=${items}
    valueText=${styleName(value) || (bottle ? plainName(bottle) : '')}
    value=${value ?? (bottle && plainOf(bottle))} placeholder=${placeholder} hideLabel=${hideLabel}
    likely=${asked ? likely() : []} onOpen=${() => ask(true)} onChange=${onChange} />`;
}

/** All styles under their headings, each in the order of the alphabet. */
function grouped() {
  const byName = new Intl.Collator(locale());
  return styleItems()
    .map((item) => ({ item, heading: headingOf(item.id) }))
    .sort((a, b) => ORDER.indexOf(a.heading) - ORDER.indexOf(b.heading) || byName.compare(a.item.label, b.item.label))
    .map(({ item, heading }) => ({ ...item, group: t(heading) }));
}

/** @param {string} id */
function headingOf(id) {
  const style = styleOf(id);
  return style?.kind === 'still' ? `colour.${style.colour}` : `bottle_kind.${style?.kind}`;
}
