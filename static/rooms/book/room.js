// The Book: everything that was tasted, to be found again.
import { html, useEffect } from '../../ui.js';
import { BookList } from './list.js';
import { BottlePage } from './bottle.js';
import { LookingBack } from './looking_back.js';
import { listPlace } from './search_state.js';
import { SideBySide } from './side.js';
import { TastingPage } from './tasting.js';
import { TwinsPage } from './twins_page.js';

export const words = ['book', 'aromas', 'hues'];

/** @param {{ path: string[], query: URLSearchParams }} props */
export function Room({ path }) {
  const [first, second, ...others] = path;
  useEffect(() => () => { listPlace.y = 0; }, []);
  if (!first) return html`<${BookList} />`;
  if (first === 'side' && second) return html`<${SideBySide} ids=${[second, ...others]} />`;
  if (first === 'back') return html`<${LookingBack} />`;
  if (first === 'twins') return html`<${TwinsPage} />`;
  if (first === 'bottle' && second) return html`<${BottlePage} key=${second} id=${second} />`;
  return html`<${TastingPage} key=${first} id=${first} />`;
}
