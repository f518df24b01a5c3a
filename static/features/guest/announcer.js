// Tells a screen reader what the leader did: opened a step, showed the answers or a label.
import { html, useEffect, useRef, useState } from '../../lib/ui.js';
import { t } from '../../i18n.js';
import { wineName } from '../../domain/bottle_names.js';
import { glassesOf } from '../../domain/guest/place.js';
import { glassName } from './glass_row.js';

/**
 * @param {{ view: import('../../domain/guest/guest_store.js').View, now: import('./follow.js').Now | null, name:
 *   string }} props name: of what is open
 */
export function Announcer({ view, now, name }) {
  const glasses = glassesOf(view);
  const glass = glasses.find(({ id }) => id === now?.glass);
  const facts = glasses
    .filter(({ bottle }) => bottle)
    .map((each) => t('guest.label_shown', { glass: glassName(each), wine: wineName(each.bottle ?? {}) }));
  if (glass) facts.push(t('guest.turn', { glass: glassName(glass), step: name }));
  const known = useRef(facts);
  // The region is on the page before its text, because many screen readers tell only what changes in it.
  const [news, setNews] = useState('');
  useEffect(() => {
    const fresh = facts.filter((fact) => !known.current.includes(fact));
    known.current = facts;
    if (fresh.length) setNews(fresh.join(' '));
  }, [facts.join()]);
  return html`<p class="unseen" role="status">${news}</p>`;
}
