// Chooses a style. What the styles are called is fetched when the leaf opens, unless a name is shown already.
import { html, useMemo, useState } from '../../ui.js';
import { Picker } from '../../parts/picker.js';
import { fetchNames, namesHere, styleName } from '../style_names.js';
import { styleItems } from './style_finder.js';

/** @param {{ label: string, value: string | null | undefined, placeholder: string, likely?: () => string[], onChange: (id: string | null) => void }} props */
export function StylePicker({ label, value, placeholder, likely = () => [], onChange }) {
  const [asked, ask] = useState(false);
  const here = asked && namesHere.value;
  const items = useMemo(() => (here ? styleItems() : []), [here]);
  const open = () => {
    ask(true);
    fetchNames();
  };
  return html`<${Picker} label=${label} items=${items} said=${styleName(value)} value=${value} placeholder=${placeholder} likely=${here ? likely() : []} onOpen=${open} onChange=${onChange} />`;
}
