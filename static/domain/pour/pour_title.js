// What the current pour is called on its own pages.
import { hiddenName, wineName } from '../bottle_names.js';
import { isLabelHidden, values } from './current_pour.js';

export function pourTitle() {
  return isLabelHidden.value ? hiddenName(values.tasting.value['flight_mark']) : wineName(values.bottle.value);
}
